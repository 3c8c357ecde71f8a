import { type Kysely, sql } from 'kysely'
import { createFactTables, OWN_ID } from './append-only.ts'

/** The weeks of a group may follow its market; then a wish or an hour that cannot be may name a day of that week. */
export async function up(db: Kysely<any>): Promise<void> {
  await db.transaction().execute(async (trx) => {
    await createFactTables(trx, {
      market_week: `${OWN_ID}, from_on text not null, days_in_week integer not null check (days_in_week between 4 and 8)`,
    })
    for (const table of ['request_time', 'no_turn_hours'])
      await sql`alter table ${sql.table(table)} add column market_day integer check (market_day between 1 and 8)`.execute(
        trx,
      )
  })
}
