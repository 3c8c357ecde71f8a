import type { Kysely } from 'kysely'
import { createFactTables, OWN_ID } from './append-only.ts'

/** Days, or hours of days that come round, on which the group or one household does not water. */
export async function up(db: Kysely<unknown>): Promise<void> {
  await createFactTables(db, {
    no_turn_custom: `${OWN_ID},
      cause text not null check (cause in ('rest', 'market', 'prayer', 'mourning', 'school', 'other')),
      person_id text references person (entry_id), from_on text not null, until_on text,
      weekday integer check (weekday between 1 and 7), market_day integer check (market_day between 1 and 8),
      from_hour real not null check (from_hour >= 0), to_hour real not null check (to_hour <= 24), words text not null,
      check (from_hour < to_hour)`,
  })
}
