import type { Kysely } from 'kysely'
import { createFactTables, ENTRY } from './append-only.ts'

/** The book's voice: what somebody recorded for each place of a sentence. */
export async function up(db: Kysely<any>): Promise<void> {
  await db.transaction().execute(async (trx) => {
    await createFactTables(trx, {
      voice_clip: `${ENTRY}, language text not null, clip text not null, sound blob not null`,
    })
  })
}
