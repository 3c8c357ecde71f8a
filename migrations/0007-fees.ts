import { type Kysely, sql } from 'kysely'
import { createFactTables, OWN_ID } from './append-only.ts'

export async function up(db: Kysely<any>): Promise<void> {
  await db.transaction().execute(async (trx) => {
    await createFactTables(trx, {
      account: `${OWN_ID}, code text not null, person_id text unique references person (entry_id),
        check ((code = 'member') = (person_id is not null))`,
      tariff: `${OWN_ID}, from_on text not null, per_m3_minor integer not null check (per_m3_minor >= 0),
        drinking_free integer not null check (drinking_free in (0, 1))`,
      transfer: `${OWN_ID}, debit_account_id text not null references account (entry_id),
        credit_account_id text not null references account (entry_id),
        amount_minor integer not null check (amount_minor > 0),
        kind text not null check (kind in ('charge', 'payment', 'waiver', 'payout', 'opening', 'correction')),
        on_date text not null, abstraction_id text references abstraction (entry_id),
        receipt_number integer unique, words text, check (debit_account_id <> credit_account_id)`,
    })
    await sql`create unique index account_by_code on account (code) where person_id is null`.execute(trx)
    await sql`create index transfer_by_debit on transfer (debit_account_id)`.execute(trx)
    await sql`create index transfer_by_credit on transfer (credit_account_id)`.execute(trx)
  })
}
