import type { Kysely } from 'kysely'
import { createFactTables, OWN_ID } from './append-only.ts'

/** Which outlets hang on a raised tank, from which day; what a tank keeps back and in which hours its water may run. */
export async function up(db: Kysely<any>): Promise<void> {
  await db.transaction().execute(async (trx) => {
    await createFactTables(trx, {
      tank_outlet: `${OWN_ID}, outlet_id text not null references outlet (entry_id),
        tank_id text references tank (entry_id), from_on text not null`,
      tank_use: `${OWN_ID}, tank_id text not null references tank (entry_id), from_on text not null,
        from_hour real check (from_hour >= 0 and from_hour < 24), to_hour real check (to_hour > 0 and to_hour <= 24),
        kept_m3 real not null check (kept_m3 >= 0), serves_stand integer not null check (serves_stand in (0, 1)),
        check ((from_hour is null) = (to_hour is null))`,
    })
  })
}
