import type { Kysely } from 'kysely'
import { createFactTables, ENTRY, OWN_ID } from './append-only.ts'

/**
 * How those who hold a plot together agreed to what one of them wrote; who owns a plot that is let, and who answers for what a tenant
 * leaves unpaid; and who waits to be taken in.
 */
export async function up(db: Kysely<unknown>): Promise<void> {
  await createFactTables(db, {
    holder_mark: `${ENTRY}, person_id text not null references person (entry_id),
      given text not null check (given in ('present', 'message', 'ticket')), unique (entry_id, person_id)`,
    plot_owner: `${OWN_ID}, plot_id text not null references plot (entry_id), owner_id text references person (entry_id),
      from_on text not null`,
    arrears_rule: `${OWN_ID}, from_on text not null, follows text not null check (follows in ('person', 'plot'))`,
    applicant: `${OWN_ID}, name text not null, asked_on text not null, area_m2 real not null check (area_m2 > 0),
      shares real not null check (shares >= 0), persons integer not null check (persons >= 0), words text`,
    applicant_end: `${OWN_ID}, applicant_id text not null references applicant (entry_id),
      taken_in integer not null check (taken_in in (0, 1)), words text not null`,
  })
}
