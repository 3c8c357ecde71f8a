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
}
