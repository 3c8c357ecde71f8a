import { isFarMore } from '../../../domain/fees/far-more.ts'
import { balanceOf } from '../../../domain/fees/ledger.ts'
import type { Id } from '../../../domain/id.ts'
import { moneyWords } from '../../web/figures/money-words.ts'
import { asking, type Filled } from '../../web/forms/forms.ts'
import type { Desk } from '../../web/pages/desk.ts'
import { byAccount, listTransfers } from '../ledger/transfer-store.ts'
import { listPayers } from '../payer/store.ts'
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
  const moved = byAccount(await listTransfers(desk.db))
  const owes = (accountId: Id<'account'>) => balanceOf({ transfers: moved.get(accountId) ?? [], accountId })
  const paid = (await allReceipts(desk.db)).filter(({ voidedBy }) => !voidedBy)
  const sums = [...[...payers.values()].map(({ accountId }) => owes(accountId)), ...paid.map(amountOf)]
  const owesMinor = Math.max(0, owes(payer.accountId))
  const mostMinor = sums.reduce((most, one) => Math.max(most, one), 0)
  if (!isFarMore({ amountMinor, owesMinor, mostMinor })) return null
  const { money } = moneyWords(desk)
  const values = { amount: money(amountMinor), name: payer.name, owes: money(owesMinor) }
  return asking(form, field, 'fees.payment.far-more', values)
}

function amountOf({ transfer }: Awaited<ReturnType<typeof allReceipts>>[number]): number {
  return transfer.amountMinor
}
