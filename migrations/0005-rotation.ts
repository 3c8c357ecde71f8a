import { type Kysely, sql } from 'kysely'
import { createFactTables, ENTRY, OWN_ID } from './append-only.ts'

export async function up(db: Kysely<any>): Promise<void> {
  await db.transaction().execute(async (trx) => {
    await createFactTables(trx, {
      sharing_rule: `${OWN_ID}, from_on text not null, equal_weight real not null check (equal_weight >= 0),
        area_weight real not null check (area_weight >= 0), share_weight real not null check (share_weight >= 0),
        admission text not null check (admission in ('request', 'crop')),
        check (equal_weight + area_weight + share_weight > 0)`,
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
