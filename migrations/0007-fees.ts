import { type Kysely, sql } from 'kysely'
import { createFactTables, ENTRY, OWN_ID } from './append-only.ts'

export async function up(db: Kysely<any>): Promise<void> {
  await db.transaction().execute(async (trx) => {
    await createFactTables(trx, {
      account: `${OWN_ID}, code text not null, person_id text unique references person (entry_id),
        check ((code = 'member') = (person_id is not null))`,
      // A tariff is the whole list of prices from a day on; each row prices one part for one class of payer or use.
      tariff: `${OWN_ID}, from_on text not null`,
      tariff_part: `${ENTRY}, payer_class text, kind text not null check (kind in
          ('per-m3', 'per-pump-hour', 'per-turn', 'no-show', 'per-share', 'per-hectare', 'flat')),
        up_to_m3 real check (up_to_m3 > 0), every text check (every in ('month', 'season')),
        price_minor integer not null check (price_minor >= 0)`,
      transfer: `${OWN_ID}, debit_account_id text not null references account (entry_id),
        credit_account_id text not null references account (entry_id),
        amount_minor integer not null check (amount_minor > 0),
        kind text not null check (kind in
          ('opening', 'charge', 'fine', 'receipt', 'relief', 'payout', 'cost', 'correction', 'move')),
        on_date text not null, abstraction_id text references abstraction (entry_id),
        settles_id text references transfer (entry_id), receipt_book text, receipt_number integer
          check (receipt_number > 0), original text check (original in ('back', 'never-given', 'lost')), words text,
        check (debit_account_id <> credit_account_id),
        check ((receipt_book is null) = (receipt_number is null))`,
      // How a charge was reckoned when it was posted: what was due by the tariff of the day of delivery.
      charge_line: `${ENTRY}, tariff_id text not null references tariff (entry_id), kind text not null,
        quantity real not null check (quantity >= 0), unit text not null,
        amount_minor integer not null check (amount_minor >= 0), estimated integer not null check (estimated in (0, 1))`,
    })
    await sql`create unique index account_by_code on account (code) where person_id is null`.execute(trx)
    await sql`create unique index transfer_by_receipt on transfer (receipt_book, receipt_number)
      where receipt_number is not null`.execute(trx)
    await sql`create index transfer_by_debit on transfer (debit_account_id)`.execute(trx)
    await sql`create index transfer_by_credit on transfer (credit_account_id)`.execute(trx)
    await sql`create index transfer_by_abstraction on transfer (abstraction_id)`.execute(trx)
  })
}
