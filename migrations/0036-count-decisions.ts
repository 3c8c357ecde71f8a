import { type Kysely, sql } from 'kysely'
import { createFactTables, OWN_ID } from './append-only.ts'

/**
 * A count keeps what the book said when the coins were counted (older ones have none of it: it is reckoned from what was written
 * before them), and what was decided about a difference stands beside it.
 */
export async function up(db: Kysely<any>): Promise<void> {
  await db.transaction().execute(async (trx) => {
    await sql`alter table cash_count add column book_minor integer`.execute(trx)
    await createFactTables(trx, {
      count_decision: `${OWN_ID}, count_id text not null references cash_count (entry_id),
        way text not null check (way in ('explained', 'minuted', 'written-off')), minute text, words text not null,
        amount_minor integer not null check (amount_minor <> 0),
        check (way = 'explained' or minute is not null)`,
    })
    await sql`create index count_decision_by_count on count_decision (count_id)`.execute(trx)
  })
}
