import type { CalendarDate } from '../../../domain/calendar.ts'
import { balanceOf, inOrder } from '../../../domain/fees/ledger.ts'
import { type Account, HELD_COLUMNS, type HeldColumn } from '../ledger/account-store.ts'
import type { WrittenTransfer } from '../ledger/transfer-store.ts'

export interface CashLine {
  transfer: WrittenTransfer
  column: HeldColumn
  inMinor: number
  outMinor: number
  /** What each column holds after this line. */
  balancesMinor: Record<HeldColumn, number>
}

export interface CashBook {
  openingMinor: Record<HeldColumn, number>
  lines: CashLine[]
  closingMinor: Record<HeldColumn, number>
}

/** The money that came in and went out between two days, both included, in cash, wallet and bank columns and that of the reserve. */
export function cashBook({
  transfers,
  accounts,
  from,
  to,
}: {
  transfers: readonly WrittenTransfer[]
  accounts: readonly Account[]
  from: CalendarDate
  to: CalendarDate
}): CashBook {
  const columns = HELD_COLUMNS.map((code) => ({ code, id: accounts.find((account) => account.code === code)!.id }))
  const before = transfers.filter((transfer) => transfer.on < from)
  const balances = { cash: 0, wallet: 0, bank: 0, reserve: 0 }
  for (const { code, id } of columns) balances[code] = balanceOf({ transfers: before, accountId: id })
  const openingMinor = { ...balances }
  const lines: CashLine[] = []
  for (const transfer of inOrder(transfers) as WrittenTransfer[]) {
    if (transfer.on < from || transfer.on > to) continue
    // Money moved from one column to another is a line in both.
    for (const { code, id } of columns) {
      const inMinor = transfer.debitAccountId === id ? transfer.amountMinor : 0
      const outMinor = transfer.creditAccountId === id ? transfer.amountMinor : 0
      if (inMinor === outMinor) continue
      balances[code] += inMinor - outMinor
      lines.push({ transfer, column: code, inMinor, outMinor, balancesMinor: { ...balances } })
    }
  }
  return { openingMinor, lines, closingMinor: { ...balances } }
}
