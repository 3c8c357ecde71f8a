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
  /** What goes with a draw beside its volume; hangs on the same entry. */
  draw_note: { entry_id: string; sky: string | null; stand_in: string | null; slip_no: number | null }
  draw_event: { entry_id: string; event: string }
  draw_tool: {
    entry_id: string
    container_litres: number | null
    tank_area_m2: number | null
    tank_rise_m: number | null
    old_last_m3: number | null
    new_first_m3: number | null
    new_serial: string | null
  }
  /** The timings of a bucket, of a draw or of a flow test. */
  bucket_timing: { entry_id: string; place: number; seconds: number }
  flow_test_note: { entry_id: string; container_litres: number; pump_state: string; remark: string | null }
  flag_settled: { entry_id: string; subject_id: string; code: string; words: string }
  pump_day_reading: {
    entry_id: string
    pump_id: string
    on_date: string
    at_time: string
    moment: string
    meter_m3: number
    hour_meter_h: number | null
    remark: string | null
  }
  tank: { entry_id: string; number: number; name: string; pump_id: string; area_m2: number; height_m: number }
  tank_reading: {
    entry_id: string
    tank_id: string
    on_date: string
    at_time: string
    moment: string
    level_m: number
  }
  slip_book: { entry_id: string; pump_id: string; from_on: string; first_no: number; last_no: number }
  log_closing: {
    entry_id: string
    span: string
    pump_id: string
    from_on: string
    to_on: string
    meter_m3: number | null
    hour_meter_h: number | null
    first_slip_no: number | null
    last_slip_no: number | null
    cash_minor: number | null
    cash_to_id: string | null
    words: string | null
    /** What was named as open when it was closed, as JSON. */
    found: string
  }
  fault: { entry_id: string; pump_id: string; found_on: string; what: string; stops_pump: number }
  fault_fix: {
    entry_id: string
    fault_id: string
    fixed_on: string
    cause: string
    days_lost: number
    spares: string | null
    cost_minor: number | null
    voucher: string | null
  }
  pump_service: {
    entry_id: string
    pump_id: string
    done_on: string
    hour_meter_h: number
    next_after_h: number
    words: string | null
  }
  night_test: { entry_id: string; tank_id: string; on_date: string; remark: string | null }
  night_reading: {
    entry_id: string
    place: number
    line: string | null
    start_level_m: number
    end_level_m: number
    hours: number
  }
}
