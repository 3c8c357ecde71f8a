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
}
