import type { Kysely } from 'kysely'
import { createFactTables, OWN_ID } from './append-only.ts'

/** How long the group lets turns last, and what lies between two of them. */
export async function up(db: Kysely<any>): Promise<void> {
  await db.transaction().execute(async (trx) => {
    await createFactTables(trx, {
      turn_length: `${OWN_ID}, from_on text not null, shortest_minutes integer not null check (shortest_minutes > 0),
        longest_minutes integer check (longest_minutes >= shortest_minutes),
        changeover_minutes integer not null check (changeover_minutes >= 0)`,
    })
  })
}
