import { type Kysely, sql } from 'kysely'
import { createFactTables, ENTRY, OWN_ID } from './append-only.ts'

const PERSON = 'person_id text not null references person (entry_id)'
const AMOUNT = 'amount_minor integer not null check (amount_minor > 0)'
const MONEY_COLUMN = `money_column text not null check (money_column in ('cash', 'wallet', 'bank', 'reserve'))`
const EVERY = `every text not null check (every in ('week', 'month', 'season'))`

export async function up(db: Kysely<any>): Promise<void> {
  await db.transaction().execute(async (trx) => {
    await createFactTables(trx, {
      receipt_book: `${OWN_ID}, name text not null, first_number integer not null check (first_number > 0),
        last_number integer not null, check (last_number >= first_number)`,
      // What stands on the paper of a receipt, where somebody compared it with the book.
      receipt_paper: `${OWN_ID}, transfer_id text not null references transfer (entry_id), ${PERSON}, ${AMOUNT}`,
      cash_count: `${OWN_ID}, counted_on text not null, counted_minor integer not null check (counted_minor >= 0),
        second_id text not null references person (entry_id)`,
      // Words for a difference, by the difference's own key; other figures make another key.
      finding_note: `${OWN_ID}, finding text not null, words text not null`,
      money_statement: `${OWN_ID}, money_column text not null check (money_column in ('wallet', 'bank')),
        to_on text not null, closing_minor integer not null`,
      money_statement_line: `${ENTRY}, on_date text not null, amount_minor integer not null, words text not null,
        place integer not null, unique (entry_id, place)`,
      // Why a transfer was made: a voucher, a relief, a fine, a count. One cause moves money once.
      transfer_cause: `${ENTRY}, cause_id text not null unique references entry (id)`,
      voucher: `${OWN_ID}, number integer not null unique check (number > 0), payee text not null, purpose text not null,
        category text not null check (category in ('stipend', 'spares', 'repairs', 'committee', 'replacement', 'other')),
        ${AMOUNT}, invoice text, ${MONEY_COLUMN},
        stipend_person_id text references person (entry_id), stipend_from_on text, stipend_to_on text,
        stipend_days integer check (stipend_days > 0)`,
      float_limit: `${OWN_ID}, from_on text not null, limit_minor integer not null check (limit_minor >= 0)`,
      payer_class: `${OWN_ID}, ${PERSON}, class text check (class in ('tenant', 'school')), from_on text not null`,
      fixed_fee: `${ENTRY}, account_id text not null references account (entry_id), kind text not null, ${EVERY},
        due_on text not null, unique (account_id, kind, every, due_on)`,
      kind_rate: `${OWN_ID}, from_on text not null, kind text not null check (kind in ('labour', 'produce')),
        name text not null, price_minor integer not null check (price_minor > 0), minute text not null`,
      kind_payment: `${ENTRY}, rate_id text not null references kind_rate (entry_id),
        quantity real not null check (quantity > 0)`,
      relief: `${OWN_ID}, ${PERSON}, ${AMOUNT}, minute text not null, words text not null,
        asked_id text not null references person (entry_id)`,
      promise: `${OWN_ID}, ${PERSON}, ${AMOUNT}, ${EVERY}, first_on text not null,
        times integer not null check (times > 0), words text`,
      fine: `${OWN_ID}, ${PERSON}, ${AMOUNT}, rule text not null, fact text not null, heard_on text not null,
        hearing text not null, lapse_on text not null`,
      period_closing: `${OWN_ID}, from_on text not null, to_on text not null, figures text not null,
        check (to_on >= from_on)`,
    })
    await sql`create index receipt_paper_by_transfer on receipt_paper (transfer_id)`.execute(trx)
  })
}
