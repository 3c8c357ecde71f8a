import type { Kysely } from 'kysely'
import { createFactTables, ENTRY, OWN_ID } from './append-only.ts'

/** The decisions book: what was decided when, by whom present and with which votes; and the minute on which an act rests. */
export async function up(db: Kysely<unknown>): Promise<void> {
  await createFactTables(db, {
    decision: `${OWN_ID}, number text not null, met_on text not null, body text not null check (body in ('meeting', 'committee')),
      words text not null, officers_words text, present integer check (present >= 0),
      votes_for integer check (votes_for >= 0), votes_against integer check (votes_against >= 0),
      abstained integer check (abstained >= 0)`,
    quorum_rule: `${OWN_ID}, from_on text not null, body text not null check (body in ('meeting', 'committee')),
      part text not null check (part in ('third', 'half', 'more-than-half', 'two-thirds'))`,
    rests_on: `${ENTRY}, number text not null, unique (entry_id)`,
  })
}
