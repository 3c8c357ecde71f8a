import type { Kysely } from 'kysely'
import { createFactTables, OWN_ID } from './append-only.ts'

/** The group's own words for a sentence of a language; without words the catalogue's sentence holds again. */
export async function up(db: Kysely<any>): Promise<void> {
  await createFactTables(db, {
    own_words: `${OWN_ID}, language text not null, message_key text not null, words text`,
  })
}
