import type { Kysely } from 'kysely'
import { createFactTables, ENTRY, OWN_ID } from './append-only.ts'

const WEIR = 'weir_id text not null references weir (entry_id)'

export async function up(db: Kysely<any>): Promise<void> {
  await db.transaction().execute(async (trx) => {
    await createFactTables(trx, {
      // What the group settles on for looking ahead; an empty figure is worked out from the book instead.
      cover_term: `${OWN_ID}, ${WEIR}, from_on text not null,
        leak_share real not null check (leak_share between 0 and 1), weekly_plan_m3 real check (weekly_plan_m3 >= 0),
        recharge_m3_per_mm real check (recharge_m3_per_mm >= 0), words text`,
      outlook_setting: `${OWN_ID}, from_on text not null, holds_in real not null check (holds_in between 0.5 and 0.99),
        seed integer not null check (seed >= 1)`,
      rain_record: `${OWN_ID}, source text not null`,
      // Daily rain of one calendar year as a JSON list, 1 January first; null for a day that nobody read.
      rain_record_year: `${ENTRY}, year integer not null, rain_mm text not null, unique (entry_id, year)`,
      drought_stage: `${OWN_ID}, severity integer not null check (severity >= 1), name text not null, words text not null,
        ${WEIR}, below_level_m real, below_cover_days real check (below_cover_days > 0), end_condition text not null,
        check ((below_level_m is null) <> (below_cover_days is null))`,
      drought_cap: `${ENTRY}, use text not null, part real not null check (part between 0 and 1), unique (entry_id, use)`,
      drought_declaration: `${OWN_ID}, stage_id text not null references drought_stage (entry_id), from_on text not null,
        reason text not null, was_proposed integer not null check (was_proposed in (0, 1))`,
      drought_lift: `${OWN_ID}, declaration_id text not null references drought_declaration (entry_id),
        lifted_on text not null, reason text not null`,
      stream_share: `${OWN_ID}, from_on text not null, permit_m3 real check (permit_m3 > 0), permit_year_start text,
        warn_part real not null check (warn_part > 0 and warn_part < 1), words text`,
      stream_rest_day: `${ENTRY}, weekday integer not null check (weekday between 1 and 7), unique (entry_id, weekday)`,
      shut_mark: `${OWN_ID}, ${WEIR}, from_on text not null, shut_below_level_m real, words text not null`,
      stream_gauging: `${OWN_ID}, on_date text not null, at_time text not null, place text not null,
        method text not null check (method in ('float', 'bucket')), length_m real check (length_m > 0),
        surface_factor real check (surface_factor > 0), litres real check (litres > 0), remark text`,
      gauging_time: `${ENTRY}, seconds real not null check (seconds > 0)`,
      gauging_point: `${ENTRY}, offset_m real not null, depth_m real not null check (depth_m >= 0)`,
      inspection: `${OWN_ID}, ${WEIR}, on_date text not null,
        part text not null check (part in ('wall', 'wings', 'apron', 'spillway', 'gabions', 'chamber', 'silt-cap')),
        state text not null check (state in ('sound', 'watch', 'repair', 'danger')), found text not null, to_do text,
        next_on text, inspector_id text references person (entry_id)`,
    })
  })
}
