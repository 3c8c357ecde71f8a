export interface AbstractionsTables {
  abstraction: {
    entry_id: string
    on_date: string
    use: string
    weir_id: string
    pump_id: string | null
    outlet_id: string | null
    plot_id: string | null
    turn_id: string | null
    taker_id: string | null
    method: string
    opening_m3: number | null
    closing_m3: number | null
    hours: number | null
    flow_m3_per_h: number | null
    start_time: string | null
    end_time: string | null
    volume_m3: number
    uncertainty_m3: number
    grade: string
    remark: string | null
  }
}
