export interface RotationTables {
  sharing_rule: {
    entry_id: string
    from_on: string
    equal_weight: number
    area_weight: number
    share_weight: number
    admission: string
  }
  water_request: { entry_id: string; plot_id: string; week_start_on: string; volume_m3: number | null }
  no_turn_day: { entry_id: string; on_date: string; pump_id: string | null; words: string }
  published_week: {
    entry_id: string
    week_start_on: string
    format_version: number
    engine_version: string
    inputs: string
    results: string
  }
  turn: {
    entry_id: string
    id: string
    plot_id: string | null
    outlet_id: string
    pump_id: string
    on_date: string
    start_minute: number
    end_minute: number
    volume_m3: number
  }
}
