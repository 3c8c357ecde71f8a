export interface WaterTables {
  weir: { entry_id: string; number: number; name: string; distance_m: number }
  weir_survey: {
    entry_id: string
    weir_id: string
    from_on: string
    crest_level_m: number
    crest_height_m: number
    crest_width_m: number
    bed_slope: number
    valley_shape: string
    sand_type: string
    off_take_above_bed_m: number
    mark_above_crest_m: number
    loss_cm_per_day: number | null
  }
  level_reading: {
    entry_id: string
    weir_id: string
    on_date: string
    at_time: string
    depth_cm: number
    reader_id: string | null
    pump_off_since_at: string | null
    flow_seen: number
    remark: string | null
  }
  water_user: {
    entry_id: string
    weir_id: string
    from_on: string
    kind: string
    heads: number
    litres_per_head_day: number
  }
  water_setting: { entry_id: string; from_on: string; late_rain_on: string; wet_rain_mm: number }
  probed_survey: {
    entry_id: string
    weir_id: string
    from_on: string
    crest_level_m: number
    off_take_above_bed_m: number
    mark_above_crest_m: number
    loss_cm_per_day: number | null
    tail_chainage_m: number | null
  }
  probed_point: { entry_id: string; chainage_m: number; offset_m: number; sand_level_m: number; bed_level_m: number }
  /** The last layer reaches the bedrock and has no depth. */
  sand_layer: { entry_id: string; to_depth_m: number | null; sand_type: string }
  level_volume_table: {
    entry_id: string
    weir_id: string
    from_on: string
    /** The survey under which the table was made; a later survey ends it. */
    survey_id: string
    answer: string
    grade: string
    loss_cm_per_day: number | null
    words: string
    /** How it was fitted, as JSON; null for a table that people wrote. */
    working: string | null
  }
  level_volume_row: { entry_id: string; level_m: number; low_m3: number; likely_m3: number; high_m3: number }
  sand_loss: { entry_id: string; weir_id: string; from_on: string; loss_cm_per_day: number; words: string }
  chamber: {
    entry_id: string
    weir_id: string
    from_on: string
    area_m2: number
    depth_m: number
    rim_above_crest_m: number
    stop_below_rim_cm: number
  }
  refill_test: {
    entry_id: string
    weir_id: string
    tested_on: string
    area_m2: number
    rest_below_rim_cm: number
    remark: string | null
  }
  refill_reading: { entry_id: string; minutes: number; below_rim_cm: number }
  cover_term: {
    entry_id: string
    weir_id: string
    from_on: string
    leak_share: number
    weekly_plan_m3: number | null
    recharge_m3_per_mm: number | null
    words: string | null
  }
  outlook_setting: { entry_id: string; from_on: string; holds_in: number; seed: number }
  rain_record: { entry_id: string; source: string }
  /** Daily rain as a JSON list, 1 January first; null for a day that nobody read. */
  rain_record_year: { entry_id: string; year: number; rain_mm: string }
  drought_stage: {
    entry_id: string
    severity: number
    name: string
    words: string
    weir_id: string
    below_level_m: number | null
    below_cover_days: number | null
    end_condition: string
  }
  drought_cap: { entry_id: string; use: string; part: number }
  drought_declaration: { entry_id: string; stage_id: string; from_on: string; reason: string; was_proposed: number }
  drought_lift: { entry_id: string; declaration_id: string; lifted_on: string; reason: string }
  stream_share: {
    entry_id: string
    from_on: string
    permit_m3: number | null
    permit_year_start: string | null
    warn_part: number
    words: string | null
  }
  stream_rest_day: { entry_id: string; weekday: number }
  shut_mark: { entry_id: string; weir_id: string; from_on: string; shut_below_level_m: number | null; words: string }
  stream_gauging: {
    entry_id: string
    on_date: string
    at_time: string
    place: string
    method: string
    length_m: number | null
    surface_factor: number | null
    litres: number | null
    remark: string | null
  }
  gauging_time: { entry_id: string; seconds: number }
  gauging_point: { entry_id: string; offset_m: number; depth_m: number }
  inspection: {
    entry_id: string
    weir_id: string
    on_date: string
    part: string
    state: string
    found: string
    to_do: string | null
    next_on: string | null
    inspector_id: string | null
  }
}
