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
}
