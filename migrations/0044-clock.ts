import type { Kysely } from 'kysely'
import { createFactTables, ENTRY, OWN_ID } from './append-only.ts'

/** What was written while the machine's clock could not be right says so, and somebody may say which moment it was. */
export async function up(db: Kysely<unknown>): Promise<void> {
  await db.transaction().execute(async (trx) => {
    await createFactTables(trx, {
      clock_mark: `${ENTRY}, machine_at text not null`,
      clock_told: `${OWN_ID}, machine_at text not null, told_at text not null`,
    })
  })
}
