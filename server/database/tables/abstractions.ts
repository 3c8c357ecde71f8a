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
  /** Beside a fault: the outlet that it struck, where not the whole pump, and the day from which it is said to run again. */
  fault_place: { entry_id: string; outlet_id: string | null; runs_again_on: string | null }
  /** A pump's meter from a day on; hangs on a draw that it was replaced in, or stands alone. */
  pump_meter: {
    entry_id: string
    pump_id: string
    on_date: string
    at_time: string
    digits: number
    old_last_m3: number
    new_first_m3: number
    serial: string | null
  }
  meter_night_test: { entry_id: string; pump_id: string; on_date: string; remark: string | null }
  meter_night_reading: {
    entry_id: string
    place: number
    line: string | null
    start_m3: number
    end_m3: number
    hours: number
  }
  clash_settled: { entry_id: string; kind: string; first_id: string; second_id: string; words: string }
  /** The day's line of a tank's sheet, beside the levels and the draws that were written with it. */
  tank_day: {
    entry_id: string
    tank_id: string
    on_date: string
    filled_m3: number | null
    animals: number | null
    remark: string | null
  }
  /** The slip that came back for a draw that was in the book already. */
  draw_slip: { entry_id: string; subject_id: string; slip_no: number }
}
