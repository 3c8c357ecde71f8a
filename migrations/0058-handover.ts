import type { Kysely } from 'kysely'
import { createFactTables, OWN_ID } from './append-only.ts'

/** What goes from hand to hand with an office, under the marks of both; and the day on which an office ends. */
export async function up(db: Kysely<unknown>): Promise<void> {
  await createFactTables(db, {
    handover: `${OWN_ID}, handed_on text not null, what text not null, giver_id text not null references person (entry_id),
      taker_id text not null references person (entry_id), keys text, cash_minor integer check (cash_minor >= 0),
      cash_book_minor integer, meters text, open_matters text,
      other_given text check (other_given in ('present', 'message', 'ticket')), check (giver_id <> taker_id)`,
    office_term: `${OWN_ID}, person_id text not null references person (entry_id),
      office text not null check (office in ('committee', 'attendant', 'treasurer', 'auditor')), until_on text not null`,
  })
}
