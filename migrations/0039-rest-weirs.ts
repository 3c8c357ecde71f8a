import type { Kysely } from 'kysely'
import { createFactTables, ENTRY, OWN_ID } from './append-only.ts'

/** Rest days of the stream belong to chosen weirs, all where none is named; one rest day is set aside with two other names. */
export async function up(db: Kysely<any>): Promise<void> {
  await createFactTables(db, {
    stream_rest_weir: `${ENTRY}, weir_id text not null references weir (entry_id)`,
    rest_set_aside: `${OWN_ID}, on_date text not null, weir_id text references weir (entry_id),
      reason text not null`,
  })
}
