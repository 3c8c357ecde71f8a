import type { Kysely } from 'kysely'
import { createFactTables, ENTRY } from './append-only.ts'

/** Which figures of a description nobody had measured: beside them stands what the book reckons with, so that it gives no more. */
export async function up(db: Kysely<any>): Promise<void> {
  await db.transaction().execute(async (trx) => {
    await createFactTables(trx, {
      unmeasured: `${ENTRY}, figure text not null
        check (figure in ('area', 'crest-level', 'bed-slope', 'off-take', 'mark')), unique (entry_id, figure)`,
    })
  })
}
