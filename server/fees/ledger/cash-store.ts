import { balanceOf } from '../../../domain/fees/ledger.ts'
import { kept } from '../../book/kept-answers.ts'
import type { Database } from '../../database/connection.ts'
import { groupAccount, type HeldColumn } from './account-store.ts'
import { byAccount, listTransfers, transfersOf } from './transfer-store.ts'

/** What the book has as cash now, in minor units. */
export async function cashInBook(db: Database): Promise<number> {
  const accountId = await groupAccount(db, 'cash')
  return balanceOf({ transfers: await transfersOf(db, accountId), accountId })
}

/** What every account holds or owes now, in minor units, by one way through the ledger of all years. */
export function balancesNow(db: Database): Promise<ReadonlyMap<string, number>> {
  return kept(db, 'balances', null, async () => {
    const ofAccount = byAccount(await listTransfers(db))
    return new Map([...ofAccount].map(([accountId, transfers]) => [accountId, balanceOf({ transfers, accountId })]))
  })
}

export async function heldIn(db: Database, column: HeldColumn): Promise<number> {
  return (await balancesNow(db)).get(await groupAccount(db, column)) ?? 0
}
