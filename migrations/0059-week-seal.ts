import type { Kysely } from 'kysely'
import { createFactTables, OWN_ID } from './append-only.ts'

/** The seal of a week: the last hash, counts and totals of that moment, and the digits that go on paper. */
export async function up(db: Kysely<unknown>): Promise<void> {
  await createFactTables(db, {
    week_seal: `${OWN_ID}, last_hash text not null, entries integer not null, draws integer not null,
      drawn_litres integer not null, receipts integer not null, received_minor integer not null, digits text not null`,
  })
}
