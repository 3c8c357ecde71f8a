import type { Kysely } from 'kysely'
import { createFactTables, OWN_ID } from './append-only.ts'

/** How late the rain once came, and for how many weeks the group can fetch its drinking water elsewhere. */
export async function up(db: Kysely<any>): Promise<void> {
  await db.transaction().execute(async (trx) => {
    await createFactTables(trx, {
      drinking_caution: `${OWN_ID}, from_on text not null,
        remembered_weeks integer check (remembered_weeks between 0 and 26),
        fetch_weeks integer not null check (fetch_weeks between 0 and 26)`,
    })
  })
}
