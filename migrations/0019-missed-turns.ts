import type { Kysely } from 'kysely'
import { createFactTables, OWN_ID } from './append-only.ts'

/** Hangs on the transfer that charges a turn left without word, or that gives such a charge back. */
export async function up(db: Kysely<any>): Promise<void> {
  await db.transaction().execute(async (trx) => {
    await createFactTables(trx, { missed_turn: `${OWN_ID}, turn_id text not null` })
  })
}
