import type { Kysely } from 'kysely'
import { createFactTables, OWN_ID } from './append-only.ts'

/** A fine that was charged may be appealed once to another body, which lets it stand or lifts it. */
export async function up(db: Kysely<unknown>): Promise<void> {
  await db.transaction().execute(async (trx) => {
    await createFactTables(trx, {
      fine_appeal: `${OWN_ID}, fine_id text not null references fine (entry_id), decided_by text not null,
        words text not null`,
      fine_decision: `${OWN_ID}, fine_id text not null references fine (entry_id),
        stands integer not null check (stands in (0, 1)), words text not null`,
    })
  })
}
