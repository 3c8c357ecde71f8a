import type { Kysely } from 'kysely'
import { createFactTables, ENTRY, OWN_ID } from './append-only.ts'

/**
 * Acts about a person that no officer does alone: which two members a meeting named where officers are too few, and from which day on somebody has left the group, or is back.
 */
export async function up(db: Kysely<any>): Promise<void> {
  await createFactTables(db, {
    meeting_named: `${ENTRY}, person_id text not null references person (entry_id), unique (entry_id, person_id)`,
    person_left: `${OWN_ID}, person_id text not null references person (entry_id), from_on text not null,
      is_back integer not null check (is_back in (0, 1))`,
  })
}
