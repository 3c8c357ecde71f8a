import { type Kysely, sql } from 'kysely'
import { makeAppendOnly } from './append-only.ts'

/** What was unique in its table, and what of it is looked for. */
const GIVEN_ONCE = {
  fixed_fee: ['account_id', 'kind', 'every', 'due_on'],
  swap_consent: ['swap_id', 'plot_id'],
}

/**
 * Both devices of a group may have charged one fee, or written in one consent, while they were apart: both are kept and a person
 * settles it. So a second one is refused by a trigger, and not while books are being joined.
 */
export async function up(db: Kysely<any>): Promise<void> {
  await db.transaction().execute(async (trx) => {
    await sql`create table fixed_fee_anew (
      entry_id text not null references entry (id), account_id text not null references account (entry_id),
      kind text not null, every text not null check (every in ('week', 'month', 'season')),
      due_on text not null) strict`.execute(trx)
    await sql`create table swap_consent_anew (
      entry_id text primary key references entry (id), swap_id text not null references entry (id),
      plot_id text not null references plot (entry_id), person_id text not null references person (entry_id),
      given text check (given in ('present', 'message', 'ticket'))) strict`.execute(trx)
    await putInPlace(trx, 'fixed_fee', 'entry_id, account_id, kind, every, due_on')
    await putInPlace(trx, 'swap_consent', 'entry_id, swap_id, plot_id, person_id, given')
    await sql`create index fixed_fee_by_entry on fixed_fee (entry_id)`.execute(trx)
  })
}

async function putInPlace(trx: Kysely<any>, table: keyof typeof GIVEN_ONCE, columns: string): Promise<void> {
  const keys = GIVEN_ONCE[table]
  const same = keys.map((key) => `${key} = new.${key}`).join(' and ')
  for (const statement of [
    `insert into ${table}_anew (${columns}) select ${columns} from ${table}`,
    `drop table ${table}`,
    `alter table ${table}_anew rename to ${table}`,
    `create index ${table}_given on ${table} (${keys.join(', ')})`,
    `create trigger ${table}_once before insert on ${table}
      when not exists (select 1 from joining) and exists (select 1 from ${table} where ${same})
      begin select raise(abort, 'given already: ${table}.${keys.join('+')}'); end`,
  ])
    await sql.raw(statement).execute(trx)
  await makeAppendOnly(trx, [table])
}
