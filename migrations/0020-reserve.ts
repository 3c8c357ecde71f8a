import type { Kysely } from 'kysely'
import { createFactTables, OWN_ID } from './append-only.ts'

const COLUMN = `not null check (%s in ('cash', 'wallet', 'bank', 'reserve'))`
const column = (name: string) => `${name} text ${COLUMN.replace('%s', name)}`

/** The reserve for the pump: a count of its own, and money put in or taken out with two names. */
export async function up(db: Kysely<any>): Promise<void> {
  await db.transaction().execute(async (trx) => {
    await createFactTables(trx, {
      // Hangs on a count of money that is not the cash box.
      counted_column: `${OWN_ID}, ${column('money_column')}`,
      reserve_move: `${OWN_ID}, ${column('from_column')}, ${column('to_column')},
        amount_minor integer not null check (amount_minor > 0), words text not null,
        check ((from_column = 'reserve') <> (to_column = 'reserve'))`,
    })
  })
}
