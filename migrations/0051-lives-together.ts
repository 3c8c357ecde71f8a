import type { Kysely } from 'kysely'
import { createFactTables, ENTRY } from './append-only.ts'

/** Who lives together from a day on. A person's last line counts; one named alone lives apart from others. */
export async function up(db: Kysely<any>): Promise<void> {
  await createFactTables(db, {
    lives_together: `${ENTRY}, person_id text not null references person (entry_id), from_on text not null,
      unique (entry_id, person_id)`,
  })
}
