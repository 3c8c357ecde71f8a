import { group } from 'd3-array'
import type { Id } from '../id.ts'
import { missingRanges, type NumberRange } from '../number-ranges.ts'

/** Where money is kept; labour and produce are taken at agreed rates and touch no cash column. */
export type MoneyColumn = 'cash' | 'wallet' | 'bank'

/** The same with the reserve for the pump, which is kept apart. */
export type HeldColumn = MoneyColumn | 'reserve'

export interface Receipt {
  bookId: string
  number: number
  amountMinor: number
  column: MoneyColumn | 'labour' | 'produce'
  /** A voided receipt keeps its number and counts for nothing. */
  voided?: boolean
  /** The member account that the receipt is made out to. */
  forAccountId?: Id<'account'>
  /** What the ledger made of it; null when it has no transfer, left out when this is not to be checked. */
  posted?: { accountId: Id<'account'>; amountMinor: number } | null
}

export interface ReceiptBook {
  bookId: string
  firstNumber: number
}

interface ReceiptGap extends NumberRange {
  bookId: string
}

/** Numbers missing from each book's own series, from its first number to the highest written. */
export function receiptGaps({
  receipts,
  books = [],
}: {
  receipts: readonly Pick<Receipt, 'bookId' | 'number'>[]
  books?: readonly ReceiptBook[]
}): ReceiptGap[] {
  const firstOf = new Map(books.map((book) => [book.bookId, book.firstNumber]))
  return [...group(receipts, (receipt) => receipt.bookId)].flatMap(([bookId, ofBook]) => {
    const numbers = ofBook.map((receipt) => receipt.number)
    const from = firstOf.get(bookId) ?? numbers.reduce((least, number) => Math.min(least, number))
    return missingRanges(numbers, { from }).map((gap) => ({
      bookId,
      fromNumber: gap.fromNumber,
      toNumber: gap.toNumber,
    }))
  })
}

/** Numbers that stand on more than one receipt of the same book. */
export function repeatedReceipts({ receipts }: { receipts: readonly Pick<Receipt, 'bookId' | 'number'>[] }) {
  return [...group(receipts, (receipt) => JSON.stringify([receipt.bookId, receipt.number])).values()]
    .filter((same) => same.length > 1)
    .map((same) => ({ bookId: same[0]!.bookId, number: same[0]!.number, times: same.length }))
}
