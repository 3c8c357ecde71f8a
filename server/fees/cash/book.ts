import { group } from 'd3-array'
import type { CalendarDate } from '../../../domain/calendar.ts'
import { balanceOf, inOrder } from '../../../domain/fees/ledger.ts'
import { type Account, HELD_COLUMNS, type HeldColumn } from '../ledger/account-store.ts'
import type { WrittenTransfer } from '../ledger/transfer-store.ts'

interface CashLine {
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
  for (const transfer of within(transfers, { from, to })) {
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

/** The movements of a spell in the order of its days; the years around it are not put in order for that. */
function within(
  transfers: readonly WrittenTransfer[],
  { from, to }: { from: CalendarDate; to: CalendarDate },
): WrittenTransfer[] {
  return inOrder(transfers.filter(({ on }) => on >= from && on <= to)) as WrittenTransfer[]
}

/** Work and produce that were taken as payment. */
export const WITHOUT_MONEY = ['labour', 'produce'] as const

export interface BookLine extends Omit<CashLine, 'column'> {
  column: HeldColumn | (typeof WITHOUT_MONEY)[number]
}

/** The lines of the book with the receipts that brought no money, or took none back, each in its place: so no number of a receipt is missing. */
export function withReceiptsWithoutMoney(
  { openingMinor, lines }: CashBook,
  { transfers, accounts, from, to }: Parameters<typeof cashBook>[0],
): BookLine[] {
  const columns = WITHOUT_MONEY.map((code) => ({ code, id: accounts.find((account) => account.code === code)?.id }))
  const receipts = new Set(transfers.filter(({ receiptNumber }) => receiptNumber !== null).map(({ id }) => id))
  const moved = group(lines, ({ transfer }) => transfer.id)
  let balancesMinor = openingMinor
  return within(transfers, { from, to }).flatMap((transfer): BookLine[] => {
    const own = moved.get(transfer.id)
    balancesMinor = own?.at(-1)?.balancesMinor ?? balancesMinor
    if (own) return own
    const column = columns.find(
      ({ id }) => id && [transfer.debitAccountId, transfer.creditAccountId].includes(id),
    )?.code
    const isReceipt = receipts.has(transfer.id) || (transfer.correctsId !== null && receipts.has(transfer.correctsId))
    if (!column || !isReceipt) return []
    return [{ transfer, column, inMinor: 0, outMinor: 0, balancesMinor }]
  })
}
