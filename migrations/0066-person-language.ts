import type { Kysely } from 'kysely'
import { createFactTables, OWN_ID } from './append-only.ts'

/** In which language the book speaks to a person from a day on, and with which digits; without, those of the language. */
export async function up(db: Kysely<any>): Promise<void> {
  await createFactTables(db, {
    person_language: `${OWN_ID}, person_id text not null references person (entry_id), from_on text not null,
      language text not null, digits text check (digits in ('latn', 'arab', 'deva'))`,
  })
}
