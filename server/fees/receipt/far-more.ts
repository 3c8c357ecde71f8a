import { isFarMore } from '../../../domain/fees/far-more.ts'
import { balanceOf } from '../../../domain/fees/ledger.ts'
import type { Id } from '../../../domain/id.ts'
import type { Database } from '../../database/connection.ts'
import { moneyWords } from '../../web/figures/money-words.ts'
import { asking, type Filled } from '../../web/forms/forms.ts'
import type { Desk } from '../../web/pages/desk.ts'
import { byAccount, listTransfers } from '../ledger/transfer-store.ts'
import { listPayers } from '../payer/store.ts'
import { accountBefore } from './before-store.ts'
import { allReceipts } from './store.ts'

/** A payment far above what its payer owes is asked about beside the field that says how much; null where it is likely or has its cross. */
export async function askedFarMore(
  desk: Desk,
  form: Filled,
  { field, payerId, amountMinor }: { field: string; payerId: Id<'person'>; amountMinor: number },
): Promise<Filled | null> {
  const payers = await listPayers(desk.db)
  const payer = payers.get(payerId)
  if (!payer) return null
  const { accountId } = payer
  const { owesMinor, mostPaidMinor } = await accountBefore(desk.db, accountId)
  // The whole ledger is read only for what is far above all that this payer owes and ever paid; a coin is the least measure.
  if (!isFarMore({ amountMinor, owesMinor, mostMinor: Math.max(1, mostPaidMinor) })) return null
  if (!isFarMore({ amountMinor, owesMinor, mostMinor: await mostInBook(desk.db) })) return null
  const { money } = moneyWords(desk)
  const values = { amount: money(amountMinor), name: payer.name, owes: money(owesMinor) }
  return asking(form, field, 'fees.payment.far-more', values)
}

/** The most that anybody owes, or has paid with one receipt that stands. */
async function mostInBook(db: Database): Promise<number> {
  const moved = byAccount(await listTransfers(db))
  const owed = [...(await listPayers(db)).values()].map(({ accountId }) =>
    balanceOf({ transfers: moved.get(accountId) ?? [], accountId }),
  )
  const paid = (await allReceipts(db)).filter(({ voidedBy }) => !voidedBy)
  return [...owed, ...paid.map(amountOf)].reduce((most, one) => Math.max(most, one), 0)
}

function amountOf({ transfer }: Awaited<ReturnType<typeof allReceipts>>[number]): number {
  return transfer.amountMinor
}
