import type { Kysely } from 'kysely'
import { createFactTables, ENTRY, OWN_ID } from './append-only.ts'

/** The other calendar of a group, and what it calls the months. */
export async function up(db: Kysely<unknown>): Promise<void> {
  await createFactTables(db, {
    group_calendar: `${OWN_ID}, calendar text`,
    month_name: `${ENTRY}, month integer not null check (month between 1 and 12), name text not null, unique (entry_id, month)`,
  })
}
