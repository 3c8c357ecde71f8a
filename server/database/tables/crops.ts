export interface CropsTables {
  weather_day: {
    entry_id: string
    on_date: string
    tmax_c: number | null
    tmin_c: number | null
    rain_mm: number | null
    rh_max_pct: number | null
    rh_min_pct: number | null
    wind_m_per_s: number | null
    wind_height_m: number | null
    sun_hours: number | null
    radiation_mj_m2: number | null
  }
  crop_plan: { entry_id: string; plot_id: string; crop_key: string; area_m2: number; sown_on: string }
  crop_end: { entry_id: string; plan_id: string; ended_on: string; outcome: string }
  crop_tranche: { entry_id: string; tranche: number }
  own_crop: {
    entry_id: string
    crop_key: string
    from_on: string
    name: string
    kc_ini: number
    kc_mid: number
    kc_end: number
    height_m: number
    ini_days: number
    dev_days: number
    mid_days: number
    late_days: number
    root_depth_m: number
    depletion_fraction: number
    yield_response: number | null
    perennial: number
    words: string
  }
  month_table: { entry_id: string; from_on: string; words: string }
  month_evaporation: { entry_id: string; month: number; eto_mm_per_day: number }
  rain_rule: { entry_id: string; from_on: string; threshold_mm: number; fraction: number; missing_rain: string }
  rain_gauge: { entry_id: string; number: number; name: string }
  gauge_rain: { entry_id: string; gauge_id: string; on_date: string; rain_mm: number }
  plot_gauge: { entry_id: string; plot_id: string; from_on: string; gauge_id: string | null }
  plot_state: { entry_id: string; plot_id: string; from_on: string; state: string }
  coefficient_rule: {
    entry_id: string
    from_on: string
    by_climate: number
    wetting_days: number | null
    wetting_mm: number | null
    wetted_part: number
  }
  taping: {
    entry_id: string
    plot_id: string
    taped_on: string
    side_a_m: number
    side_b_m: number
    side_c_m: number
    side_d_m: number
    diagonal_m: number | null
  }
  second_look: { entry_id: string; season_start_on: string; look_on: string }
}
