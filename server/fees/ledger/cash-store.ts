import { balanceOf } from '../../../domain/fees/ledger.ts'
import type { Database } from '../../database/connection.ts'
import { groupAccount } from './account-store.ts'
import { transfersOf } from './transfer-store.ts'

/** What the book has as cash now, in minor units. */
export async function cashInBook(db: Database): Promise<number> {
  const accountId = await groupAccount(db, 'cash')
  return balanceOf({ transfers: await transfersOf(db, accountId), accountId })
}
