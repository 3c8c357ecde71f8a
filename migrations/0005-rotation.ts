import { type Kysely, sql } from 'kysely'
import { createFactTables, ENTRY, OWN_ID } from './append-only.ts'

export async function up(db: Kysely<any>): Promise<void> {
  await db.transaction().execute(async (trx) => {
    await createFactTables(trx, {
      sharing_rule: `${OWN_ID}, from_on text not null,
        admission text not null check (admission in ('request', 'crop')), declared_on text,
        spare_part real not null check (spare_part >= 0 and spare_part < 1),
        excused_days integer not null check (excused_days >= 0), excused_cap_part real check (excused_cap_part > 0)`,
      water_request: `${OWN_ID}, plot_id text not null references plot (entry_id), week_start_on text not null,
        volume_m3 real check (volume_m3 > 0)`,
      no_turn_day: `${OWN_ID}, on_date text not null, pump_id text references pump (entry_id), words text not null`,
      published_week: `${OWN_ID}, week_start_on text not null unique, format_version integer not null,
        engine_version text not null, inputs text not null, results text not null`,
      turn: `${ENTRY}, id text not null unique, plot_id text references plot (entry_id),
        outlet_id text not null references outlet (entry_id), pump_id text not null references pump (entry_id),
        on_date text not null, start_minute integer not null, end_minute integer not null check (end_minute > start_minute),
        volume_m3 real not null check (volume_m3 > 0)`,
    })
    await sql`create index turn_by_date on turn (on_date)`.execute(trx)
  })
}
