import { settleOldestFirst } from '../../../domain/fees/arrears/settle.ts'
import { balanceOf } from '../../../domain/fees/ledger.ts'
import { kept } from '../../book/kept-answers.ts'
import type { Database } from '../../database/connection.ts'
import { byAccount, listTransfers } from '../ledger/transfer-store.ts'
import { listPayers } from '../payer/store.ts'

export interface Owed {
  /** Below zero is paid ahead. */
  owedMinor: number
  /** Charges that are not wholly paid, the oldest first. */
  open: ReturnType<typeof settleOldestFirst>['charges']
}

/** What everyone who can be charged owes, by account. */
export function owedByAccount(db: Database): Promise<ReadonlyMap<string, Owed>> {
  return kept(db, 'owed by account', null, async () => {
    const ofAccount = byAccount(await listTransfers(db))
    const accounts = [...(await listPayers(db)).values()].map(({ accountId }) => accountId)
    return new Map(
      accounts.map((accountId) => {
        const of = { transfers: ofAccount.get(accountId) ?? [], accountId }
        const open = settleOldestFirst(of).charges.filter(({ openMinor }) => openMinor > 0)
        return [accountId, { owedMinor: balanceOf(of), open }]
      }),
    )
  })
}
