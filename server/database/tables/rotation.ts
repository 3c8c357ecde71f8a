export interface RotationTables {
  sharing_rule: {
    entry_id: string
    from_on: string
    admission: string
    declared_on: string | null
    spare_part: number
    excused_days: number
    excused_cap_part: number | null
  }
  rule_mix: {
    entry_id: string
    weir_id: string | null
    equal_weight: number
    area_weight: number
    share_weight: number
    persons_weight: number
    need_weight: number
    area_cap_m2: number | null
  }
  rule_class: { entry_id: string; class: string; place: number; minimum_part: number | null }
  rule_protected: { entry_id: string; plot_id: string; up_to_stage: number | null }
  plot_household: { entry_id: string; plot_id: string; from_on: string; persons: number }
  plan_class: { entry_id: string; plan_id: string; from_on: string; class: string | null }
  week_rule: { entry_id: string; week_start_on: string; rule: string }
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
  pump_mount: { entry_id: string; pump_id: string; from_on: string; mount: string }
  /** The sky that the committee expects, day by day; the last entry of a week counts. */
  week_sky: { entry_id: string; week_start_on: string; on_date: string; sky: string }
  /** The sky that was seen over a pump, and whether it ran all day. */
  pump_day_sky: { entry_id: string; pump_id: string; on_date: string; sky: string; whole_day: number }
  no_turn_hours: {
    entry_id: string
    person_id: string
    from_on: string
    until_on: string | null
    weekday: number | null
    from_hour: number
    to_hour: number
    words: string
  }
  /** 1 next to the pump, rising to the tail. */
  line_position: { entry_id: string; plot_id: string; from_on: string; position: number }
  turn_length: {
    entry_id: string
    from_on: string
    shortest_minutes: number
    longest_minutes: number | null
    changeover_minutes: number
  }
  outlet_filling: { entry_id: string; outlet_id: string; from_on: string; minutes: number }
  outlet_pair: { entry_id: string; outlet_a_id: string; outlet_b_id: string; from_on: string; together: number }
  /** The groups that a person counts in from a day on; a row without a name stands for none. */
  holder_group: { entry_id: string; person_id: string; from_on: string; name: string | null }
  turn_change: {
    entry_id: string
    week_start_on: string
    stage: string
    kind: string
    turn_id: string | null
    plot_id: string
    outlet_id: string
    was_on: string | null
    on_date: string | null
    start_minute: number | null
    volume_m3: number | null
  }
  turn_outcome: { entry_id: string; turn_id: string; cause: string; stand_in_id: string | null; words: string | null }
  day_change: {
    entry_id: string
    week_start_on: string
    on_date: string
    pump_id: string
    kind: string
    from_minute: number
    until_minute: number | null
  }
  /** Hangs on the amendment of the turn that a day shared anew has changed; what is short stays visible. */
  reshared_turn: {
    entry_id: string
    day_change_id: string
    turn_id: string
    plot_id: string
    was_m3: number
    now_m3: number
  }
  /** A day's sheet as it was closed; `found` holds its counts and sums as JSON. */
  day_sheet: { entry_id: string; on_date: string; found: string }
  standing_request: {
    entry_id: string
    plot_id: string
    from_on: string
    until_on: string | null
    volume_m3: number | null
  }
  /** Hangs on a request or a standing request. */
  request_time: { entry_id: string; kind: string; weekday: number | null; from_hour: number; to_hour: number }
  request_urgent: { entry_id: string; words: string }
  urgent_quota: { entry_id: string; from_on: string; per_month: number }
  turn_list: { entry_id: string; pump_id: string; from_on: string; per_day: number }
  turn_list_place: { entry_id: string; place: number; plot_id: string }
  turn_list_served: { entry_id: string; pump_id: string; plot_id: string; on_date: string }
  turn_list_pause: {
    entry_id: string
    pump_id: string
    from_on: string
    until_on: string | null
    cause: string
    words: string | null
  }
  booking: { entry_id: string; week_start_on: string; turn_id: string; plot_id: string; volume_m3: number }
  turn_swap: {
    entry_id: string
    week_start_on: string
    turn_id: string
    other_turn_id: string | null
    to_plot_id: string
    payer: string
  }
  swap_consent: { entry_id: string; swap_id: string; plot_id: string; person_id: string }
  /** Hangs on the amendment that brought in a turn of an agreed swap or gift: the plot whose holder pays for it. */
  swapped_turn: { entry_id: string; swap_id: string; turn_id: string; payer_plot_id: string }
  /** Hangs on the amendment of a reshared turn: what had come before the day changed, by the log or by the plan. */
  reshared_drawn: { entry_id: string; drawn_m3: number; basis: string }
  /** Hangs on the amendment of a turn that moved up into hours which became free. */
  moved_up_turn: { entry_id: string; freed_turn_id: string; turn_id: string }
  /** From which day an outlet hangs on a raised tank; no tank means straight on its pump again. */
  tank_outlet: { entry_id: string; outlet_id: string; tank_id: string | null; from_on: string }
  tank_use: {
    entry_id: string
    tank_id: string
    from_on: string
    from_hour: number | null
    to_hour: number | null
    kept_m3: number
    serves_stand: number
  }
}
