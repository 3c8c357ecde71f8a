import { rollup } from 'd3-array'
import { minor, sumMinor } from '../../money/money.ts'
import { type HeldColumn, type MoneyColumn, type Receipt, receiptGaps, repeatedReceipts } from '../receipt.ts'
import { type CannotSay, type Difference, difference } from './difference.ts'
import type { CashBookLine, PaidDays, ReconcileInput } from './types.ts'

/** Receipt numbers, receipts against the cash book, the cash book against the count and the statements. */
export function cashDifferences(input: ReconcileInput) {
  const { differences: counts, cannotSay } = countDifferences(input)
  const differences = [
    ...numberDifferences(input),
    ...input.receipts.flatMap(postingDifference),
    ...receiptDifferences(input),
    ...lineDifferences(input),
    ...(input.stipends ?? []).flatMap(daysDifference),
    ...counts,
  ]
  return { differences, cannotSay }
}

function numberDifferences({ receipts, receiptBooks, otherNumbers = [] }: ReconcileInput): Difference[] {
  const own = new Set(receipts.map(({ bookId, number }) => JSON.stringify([bookId, number])))
  // A number is found missing by whoever writes the next one, so the gap belongs to the period of that receipt.
  const gaps = receiptGaps({ receipts: [...otherNumbers, ...receipts], books: receiptBooks }).filter((gap) =>
    own.has(JSON.stringify([gap.bookId, gap.toNumber + 1])),
  )
  const missing = gaps.map((gap) =>
    difference('receipt-number-missing', ['torn-or-lent-receipt', 'second-receipt-book'], { values: { ...gap } }),
  )
  const twice = repeatedReceipts({ receipts }).map((repeat) =>
    difference('receipt-number-twice', ['second-receipt-book', 'number-copied-wrong'], { values: repeat }),
  )
  return [...missing, ...twice]
}

/** The receipt against its transfer in the ledger. A voided one should have left nothing there. */
function postingDifference({ bookId, number, amountMinor, voided, forAccountId, posted }: Receipt): Difference[] {
  if (posted === undefined) return []
  const wroteMinor = voided ? 0 : amountMinor
  const postedMinor = posted?.amountMinor ?? 0
  const rest = {
    amountMinor: minor(wroteMinor - postedMinor),
    toleranceMinor: 0,
    values: { bookId, number, receiptMinor: wroteMinor, postedMinor },
  }
  if (posted === null) return voided ? [] : [difference('receipt-without-transfer', ['written-later'], rest)]
  if (rest.amountMinor !== 0) return [difference('transfer-amount-not-receipt', ['number-copied-wrong'], rest)]
  if (forAccountId === undefined || forAccountId === posted.accountId) return []
  const misplaced = { ...rest, amountMinor: minor(postedMinor) }
  return [difference('receipt-on-another-account', ['payment-on-another-member', 'two-people-of-one-name'], misplaced)]
}

function receiptDifferences({ receipts, cashBook }: ReconcileInput): Difference[] {
  const inBook = rollup(
    cashBook.filter((line) => line.receipt),
    (lines) => sumMinor(lines.map((line) => line.inMinor - line.outMinor)),
    (line) => receiptKey({ ...line.receipt!, column: line.column }),
  )
  return receipts.filter(touchesMoney).flatMap((receipt) => {
    const { bookId, number } = receipt
    const wroteMinor = receipt.voided ? 0 : receipt.amountMinor
    const bookMinor = inBook.get(receiptKey(receipt)) ?? 0
    const amountMinor = minor(wroteMinor - bookMinor)
    if (amountMinor === 0) return []
    const rest = { amountMinor, toleranceMinor: 0, values: { bookId, number, receiptMinor: wroteMinor, bookMinor } }
    if (!inBook.has(receiptKey(receipt))) return [difference('receipt-not-in-cash-book', ['written-later'], rest)]
    return [difference('cash-book-amount-not-receipt', ['number-copied-wrong'], rest)]
  })
}

function lineDifferences({ receipts, cashBook }: ReconcileInput): Difference[] {
  const written = new Set(receipts.map(receiptKey))
  return cashBook.flatMap((line) => {
    const rest = { amountMinor: minor(line.inMinor - line.outMinor), toleranceMinor: 0, values: { lineId: line.id } }
    if (line.receipt && !written.has(receiptKey({ ...line.receipt, column: line.column }))) {
      return [difference('cash-book-line-without-receipt', ['number-copied-wrong', 'second-receipt-book'], rest)]
    }
    if (line.outMinor > 0 && !line.receipt && line.voucherNumber == null && !line.internal) {
      return [difference('payment-without-voucher', ['advance-without-voucher'], rest)]
    }
    return []
  })
}

/** Days paid against days with entries in the log; a day is a day, so there is no tolerance. */
function daysDifference({ voucherId, number, paidDays, loggedDays, anyDays }: PaidDays): Difference[] {
  if (paidDays === loggedDays) return []
  const values = { voucherId, number, paidDays, loggedDays, anyDays }
  return [difference('paid-days-not-logged-days', ['log-typed-by-another', 'days-not-logged'], { values })]
}

function countDifferences({ cashBook, cashBookOpeningMinor = {}, counted }: ReconcileInput) {
  const differences: Difference[] = []
  const cannotSay: CannotSay[] = []
  const book = (column: HeldColumn) => bookBalance(cashBook, column, cashBookOpeningMinor[column] ?? 0)
  const { cash: unnamedCash, reserve: unnamedReserve } = counted.unnamed ?? {}
  if (unnamedCash) cannotSay.push(`cash-count-${unnamedCash}`)
  else if (counted.cashMinor === null) cannotSay.push('cash-not-counted')
  if (counted.cashMinor !== null) differences.push(...countDifference(book('cash'), counted.cashMinor))
  const isUsed = (column: HeldColumn) => book(column) !== 0 || cashBook.some((line) => line.column === column)
  if (unnamedReserve) cannotSay.push(`reserve-count-${unnamedReserve}`)
  else if (counted.reserveMinor == null && isUsed('reserve')) cannotSay.push('reserve-not-counted')
  if (counted.reserveMinor != null) differences.push(...reserveDifference(book('reserve'), counted.reserveMinor))
  for (const column of ['wallet', 'bank'] as const) {
    const stated = column === 'wallet' ? counted.walletMinor : counted.bankMinor
    const bookMinor = book(column)
    const unnamedStatement = counted.unnamed?.[column]
    if (unnamedStatement) cannotSay.push(`${column}-statement-${unnamedStatement}`)
    if (stated != null) {
      const expectedMinor = bookMinor - (counted.inTransitMinor?.[column] ?? 0)
      differences.push(...statementDifference(column, expectedMinor, stated))
    } else if (!unnamedStatement && isUsed(column))
      cannotSay.push(column === 'wallet' ? 'no-wallet-statement' : 'no-bank-statement')
  }
  return { differences, cannotSay }
}

function countDifference(bookMinor: number, countedMinor: number): Difference[] {
  const amountMinor = minor(countedMinor - bookMinor)
  if (amountMinor === 0) return []
  const rest = { amountMinor, toleranceMinor: 0, values: { bookMinor, countedMinor } }
  if (amountMinor > 0) return [difference('counted-more-than-book', ['written-later'], rest)]
  return [difference('counted-less-than-book', ['advance-without-voucher', 'stipend-taken-early'], rest)]
}

/** The reserve has a finding of its own, so that it never hides behind what is in the box. */
function reserveDifference(bookMinor: number, countedMinor: number): Difference[] {
  const amountMinor = minor(countedMinor - bookMinor)
  if (amountMinor === 0) return []
  const rest = { amountMinor, toleranceMinor: 0, values: { bookMinor, countedMinor } }
  if (amountMinor > 0) return [difference('reserve-more-than-book', ['reserve-move-not-written'], rest)]
  return [difference('reserve-less-than-book', ['reserve-move-not-written', 'reserve-lent'], rest)]
}

function statementDifference(column: MoneyColumn, expectedMinor: number, statedMinor: number): Difference[] {
  const amountMinor = minor(statedMinor - expectedMinor)
  if (amountMinor === 0) return []
  const code = amountMinor < 0 ? 'statement-less-than-book' : 'statement-more-than-book'
  const rest = { amountMinor, toleranceMinor: 0, values: { column, expectedMinor, statedMinor } }
  return [difference(code, ['in-transit', 'private-number-used'], rest)]
}

function bookBalance(cashBook: readonly CashBookLine[], column: HeldColumn, openingMinor: number): number {
  const moved = cashBook.filter((line) => line.column === column).map((line) => line.inMinor - line.outMinor)
  return sumMinor([openingMinor, ...moved])
}

function touchesMoney({ column }: Receipt): boolean {
  return column !== 'labour' && column !== 'produce'
}

function receiptKey({
  bookId,
  number,
  column,
}: Pick<Receipt, 'bookId' | 'number'> & { column: Receipt['column'] | HeldColumn }): string {
  return JSON.stringify([bookId, number, column])
}
