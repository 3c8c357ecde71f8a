import type { Kysely } from 'kysely'
import { createFactTables, OWN_ID } from './append-only.ts'

/** In which language the book speaks for the group from a day on, and with which digits; without, those of the language. */
export async function up(db: Kysely<unknown>): Promise<void> {
  await createFactTables(db, {
    group_language: `${OWN_ID}, from_on text not null, language text not null,
      digits text check (digits in ('latn', 'arab', 'deva'))`,
  })
}
