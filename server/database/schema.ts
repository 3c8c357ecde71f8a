/**
 * The typed tables. A row that hangs on an entry names it in `entry_id`; for a thing (a person, a weir, a plot)
 * that id is the thing's own id too. Ids are random text, days are `_on`, instants are UTC text in `_at`.
 */
export interface Schema extends FactTables {
  entry: EntryTable
  session: SessionTable
}

export interface EntryTable {
  seq: import('kysely').Generated<number>
  id: string
  kind: string
  happened_at: string
  written_at: string
  written_by: string
  for_person_id: string | null
  corrects_id: string | null
  reason: string | null
  form_key: string | null
  form_digest: string | null
  /** The page that answered the form; a re-sent form is sent there again. */
  form_answer: string | null
  paper_page: string | null
  paper_row: number | null
  previous_hash: string
  hash: string
}

export interface SessionTable {
  key_hash: string
  person_id: string
  started_at: string
  expires_at: string
}

/** Every append-only table whose rows hang on an entry. */
export interface FactTables
  extends PeopleTables,
    WaterTables,
    CropsTables,
    RotationTables,
    AbstractionsTables,
    FeesTables {
  approval: { entry_id: string; subject_id: string }
}

interface PeopleTables {
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

interface WaterTables {
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

interface CropsTables {
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

interface RotationTables {
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

interface AbstractionsTables {
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

interface FeesTables {
  account: { entry_id: string; code: string; person_id: string | null }
  tariff: { entry_id: string; from_on: string }
  tariff_part: {
    entry_id: string
    payer_class: string | null
    kind: string
    up_to_m3: number | null
    every: string | null
    price_minor: number
  }
  transfer: {
    entry_id: string
    debit_account_id: string
    credit_account_id: string
    amount_minor: number
    kind: string
    on_date: string
    /** The draw as it was written when it was charged; a corrected draw has another id. */
    abstraction_id: string | null
    settles_id: string | null
    receipt_book: string | null
    receipt_number: number | null
    /** Where the paper of a voided receipt is. */
    original: string | null
    words: string | null
  }
  charge_line: {
    entry_id: string
    tariff_id: string
    kind: string
    quantity: number
    unit: string
    amount_minor: number
    estimated: number
  }
}
