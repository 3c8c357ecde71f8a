import type { CalendarDate } from '../../../domain/calendar.ts'
import type { Database } from '../../database/connection.ts'
import { groupAccount } from '../ledger/account-store.ts'
import { listTransfers } from '../ledger/transfer-store.ts'
import { listVouchers } from '../voucher/store.ts'
import { listCounts, unnamed } from './count-store.ts'

/** What of the money is open: vouchers that are written and not paid, and lines of the cash book since the cash was last counted by two. */
export async function openMoney(
  db: Database,
): Promise<{ unpaidVouchers: number; uncountedLines: number; countedOn: CalendarDate | null }> {
  const vouchers = await listVouchers(db)
  const last = (await listCounts(db)).findLast((one) => one.column === 'cash' && !unnamed(one))
  const cash = await groupAccount(db, 'cash')
  const lines = (await listTransfers(db)).filter(
    ({ debitAccountId, creditAccountId }) => debitAccountId === cash || creditAccountId === cash,
  )
  return {
    unpaidVouchers: vouchers.filter(({ payout, withheld }) => payout === null && withheld === null).length,
    uncountedLines: lines.filter(({ writtenAt }) => last === undefined || writtenAt > last.writtenAt).length,
    countedOn: last?.countedOn ?? null,
  }
}
