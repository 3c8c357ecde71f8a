import { balanceOf } from '../../../domain/fees/ledger.ts'
import type { Minor } from '../../../domain/money/money.ts'
import type { Desk } from '../../web/pages/desk.ts'
import { memberAccount } from '../ledger/account-store.ts'
import { transfersOf } from '../ledger/transfer-store.ts'

/** What the visitor owes; below zero is paid ahead. Null for whoever has no account. */
export async function ownBalanceMinor({ db, person }: Pick<Desk, 'db' | 'person'>): Promise<Minor | null> {
  const accountId = await memberAccount(db, person.id)
  if (!accountId) return null
  return balanceOf({ transfers: await transfersOf(db, accountId), accountId })
}
