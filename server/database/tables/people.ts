export interface PeopleTables {
  group_setting: {
    entry_id: string
    from_on: string
    name: string
    latitude_deg: number
    longitude_deg: number
    elevation_m: number
    time_zone: string
    currency: string
    first_weekday: number
    season_start_on: string
    season_end_on: string
  }
  person: { entry_id: string; number: number; name: string; phone: string | null; sign_in_name: string | null }
  person_role: { entry_id: string; person_id: string; role: string; from_on: string }
  credential: { entry_id: string; person_id: string; password_hash: string }
  pump: { entry_id: string; number: number; name: string }
  pump_detail: {
    entry_id: string
    pump_id: string
    weir_id: string
    from_on: string
    usual_flow_m3_per_h: number
    first_hour: number
    last_hour: number
    sun_threshold_w_per_m2: number
    meter_digits: number
    outlets_at_once: number
    usual_day_m3: number | null
  }
  outlet: { entry_id: string; number: number; name: string; pump_id: string }
  outlet_flow_test: { entry_id: string; outlet_id: string; tested_on: string; flow_m3_per_h: number }
  plot: { entry_id: string; number: number; name: string }
  plot_detail: {
    entry_id: string
    plot_id: string
    from_on: string
    area_m2: number
    soil: string
    method: string
    shares: number
  }
  plot_outlet: { entry_id: string; plot_id: string; outlet_id: string }
  plot_holder: { entry_id: string; plot_id: string; person_id: string; from_on: string }
  received_before: { entry_id: string; plot_id: string; until_on: string; volume_m3: number }
}
