import type { Kysely } from 'kysely'
import { createFactTables, OWN_ID } from './append-only.ts'

const BODY = `text not null check (%s in ('attendant', 'committee', 'meeting', 'elders'))`
const body = (column: string) => `${column} ${BODY.replace('%s', column)}`

/** The steps before a fine, with their hearing, lapse and appeal; and what people complain about, with each hearing of it. */
export async function up(db: Kysely<unknown>): Promise<void> {
  await createFactTables(db, {
    warning: `${OWN_ID}, person_id text not null references person (entry_id), step text not null check (step in ('word', 'warning')),
      rule text not null, fact text not null, heard_on text not null, hearing text not null, ${body('body')},
      lapse_on text not null, check (lapse_on > heard_on)`,
    warning_appeal: `${OWN_ID}, warning_id text not null references warning (entry_id), ${body('to_body')}, words text not null`,
    warning_ruling: `${OWN_ID}, warning_id text not null references warning (entry_id),
      stands integer not null check (stands in (0, 1)), words text not null`,
    complaint: `${OWN_ID}, by_id text not null references person (entry_id), said_on text not null, words text not null,
      about_id text references person (entry_id), plot_id text references plot (entry_id)`,
    complaint_hearing: `${OWN_ID}, complaint_id text not null references complaint (entry_id), heard_on text not null, ${body('body')},
      both_heard integer not null check (both_heard in (0, 1)), outcome text not null,
      ends integer not null check (ends in (0, 1))`,
  })
}
