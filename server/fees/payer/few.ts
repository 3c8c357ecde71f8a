import type { CalendarDate } from '../../../domain/calendar.ts'
import { kept } from '../../book/kept-answers.ts'
import type { Database } from '../../database/connection.ts'
import { listTransfers } from '../ledger/transfer-store.ts'
import { listPayers } from './store.ts'

/** The fewest payers over whom a sum is told to all. */
const FEWEST_ACCOUNTS = 5

/** Whether so few accounts paid in these days that a sum over them would tell each member's own. */
export function fewPayers(db: Database, { from, to }: { from: CalendarDate; to: CalendarDate }): Promise<boolean> {
  return kept(db, 'few payers', [from, to], async () => {
    const payers = await listPayers(db)
    const accounts = new Set([...payers.values()].map(({ accountId }) => accountId))
    const paid = (await listTransfers(db))
      .filter(({ kind, on }) => kind === 'receipt' && on >= from && on <= to)
      .map((one) => one.creditAccountId)
    return new Set(paid.filter((id) => accounts.has(id))).size < FEWEST_ACCOUNTS
  })
}
