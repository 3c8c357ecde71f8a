import type { Kysely } from 'kysely'
import { createFactTables, OWN_ID } from './append-only.ts'

/** What the group's written rule says a conduct leads to, and by which rule each step was taken. */
export async function up(db: Kysely<unknown>): Promise<void> {
  await createFactTables(db, {
    conduct_rule: `${OWN_ID}, number text not null, from_on text not null, conduct text not null,
      words_before integer not null check (words_before >= 0), warnings_before integer not null check (warnings_before >= 0),
      lapse_days integer not null check (lapse_days >= 1), fine_minor integer check (fine_minor >= 1),
      fine_percent integer check (fine_percent >= 1), ends integer not null check (ends in (0, 1)),
      check (fine_minor is null or fine_percent is null)`,
    ladder_step: `${OWN_ID}, rule_id text references conduct_rule (entry_id),
      named text not null check (named in ('word', 'warning', 'fine')), reason text`,
  })
}
