import { type Abstraction, findAbstractions } from '../../abstractions/draw/store.ts'
import type { Database } from '../../database/connection.ts'
import { type TurnOfTransfer, turnsOfTransfers } from '../charge/missed-turns.ts'
import { listAccounts } from '../ledger/account-store.ts'
import type { WrittenTransfer } from '../ledger/transfer-store.ts'
import { agreedPayers } from '../payer/store.ts'

/** What the lines of statements are told with, read once for however many accounts. */
export interface StatementParts {
  /** The code of each account. */
  codes: ReadonlyMap<string, string>
  /** The draws that were charged, as they were written then. */
  draws: ReadonlyMap<string, Abstraction>
  /** Draws that somebody else pays for than who took them, as both agreed. */
  agreed: ReadonlySet<string>
  /** The turns that were charged without having been used. */
  missed: ReadonlyMap<string, TurnOfTransfer>
  /** Charges by month and season. */
  fixed: ReadonlySet<string>
}

export async function statementParts(db: Database, transfers: readonly WrittenTransfer[]): Promise<StatementParts> {
  const ids = transfers.flatMap(({ abstractionId }) => abstractionId ?? [])
  const draws = await findAbstractions(db, [...new Set(ids)])
  return {
    codes: new Map((await listAccounts(db)).map(({ id, code }) => [id, code])),
    draws,
    agreed: new Set((await agreedPayers(db, [...draws.values()])).keys()),
    missed: await turnsOfTransfers(db),
    fixed: new Set((await db.selectFrom('fixedFee').select('entryId').execute()).map((row) => row.entryId)),
  }
}
