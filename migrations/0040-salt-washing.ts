import type { Kysely } from 'kysely'
import { createFactTables, OWN_ID } from './append-only.ts'

/** The part of all water that is to sink through and wash salt out of the ground, as the group settled it. */
export async function up(db: Kysely<any>): Promise<void> {
  await db.transaction().execute(async (trx) => {
    await createFactTables(trx, {
      salt_washing: `${OWN_ID}, from_on text not null, fraction real not null check (fraction between 0 and 0.5)`,
    })
  })
}
