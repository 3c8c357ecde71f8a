import type { Kysely } from 'kysely'
import { createFactTables, OWN_ID } from './append-only.ts'

/** How many turns a week a plot gets at most where its roots cannot hold the week's water at once. */
export async function up(db: Kysely<any>): Promise<void> {
  await db.transaction().execute(async (trx) => {
    await createFactTables(trx, {
      most_turns: `${OWN_ID}, from_on text not null, turns integer not null check (turns between 1 and 3)`,
    })
  })
}
