import { sql } from 'kysely'
import type { CalendarDate } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
import type { Database } from '../../database/connection.ts'

/** Money is taken back by a movement of its own, which names what it takes back. */
const STANDS = sql`receipt_number is not null
  and not exists (select 1 from entry as later where later.corrects_id = transfer.entry_id)`

/** What an account shows before a payment into it: asked in sums, since each form asks and each payment changes the answer. Minor units. */
export async function accountBefore(
  db: Database,
  accountId: Id<'account'>,
): Promise<{ owesMinor: number; mostPaidMinor: number }> {
  // A server gives sums as text.
  const { rows } = await sql<{ debit: string; credit: string; most: number | null }>`select
    (select coalesce(sum(amount_minor), 0) from transfer where debit_account_id = ${accountId}) as debit,
    (select coalesce(sum(amount_minor), 0) from transfer where credit_account_id = ${accountId}) as credit,
    (select max(amount_minor) from transfer where credit_account_id = ${accountId} and ${STANDS}) as most`.execute(db)
  const { debit, credit, most } = rows[0]!
  return { owesMinor: Math.max(0, Number(debit) - Number(credit)), mostPaidMinor: Number(most ?? 0) }
}

/** The receipt of the same sum from the same account on the same day, which was not taken back; null while there is none. */
export async function sameReceipt(
  db: Database,
  { accountId, amountMinor, onDate }: { accountId: Id<'account'>; amountMinor: number; onDate: CalendarDate },
): Promise<number | null> {
  const { rows } = await sql<{ number: number }>`select receipt_number as number from transfer
    where credit_account_id = ${accountId} and amount_minor = ${amountMinor} and on_date = ${onDate} and ${STANDS}
    order by receipt_number limit 1`.execute(db)
  return rows[0]?.number ?? null
}
