import { type Kysely, sql } from 'kysely'
import { createFactTables, OWN_ID } from './append-only.ts'

/** What waits for a second name can be declined or withdrawn, and an entry can say that it holds only with one. */
export async function up(db: Kysely<any>): Promise<void> {
  await db.transaction().execute(async (trx) => {
    await createFactTables(trx, {
      withheld: `${OWN_ID}, subject_id text not null references entry (id)`,
      name_needed: OWN_ID,
    })
    await sql`create index withheld_by_subject on withheld (subject_id)`.execute(trx)
  })
}
