import type { Pen } from '../../book/entries.ts'
import type { Database } from '../../database/connection.ts'
import type { Values } from '../../web/figures/locale.ts'
import type { readForm } from '../../web/forms/forms.ts'
import type { Desk } from '../../web/pages/desk.ts'
import { closedDayError } from '../ledger/closed-day.ts'
import { listPayers } from '../payer/store.ts'
import type { PaperBook } from './book-store.ts'
import type { paperReceiptForm } from './forms.ts'
import { allReceipts, noonOf, recordPayment } from './store.ts'

type ReceiptFields = ReturnType<typeof paperReceiptForm>['fields']
type TypedReceipt = NonNullable<ReturnType<typeof readForm<ReceiptFields>>['data']>

type ReadReceipt = { write: (pen: Pen) => Promise<number> } | { field: string; key: string; values?: Values }

/** One receipt of a paper book, from its own screen or from a whole page, or the field that must be mended. */
export async function paperReceiptOf(
  desk: Pick<Desk, 'db' | 'today' | 'format' | 'timeZone'>,
  { number, paidOn, payerId, amount, column, words }: TypedReceipt,
  book: PaperBook,
): Promise<ReadReceipt> {
  const { db } = desk
  if (number < book.firstNumber || number > book.lastNumber) {
    const values = { from: book.firstNumber, to: book.lastNumber }
    return { field: 'number', key: 'receipt.paper-receipt.outside', values }
  }
  if ((await numbersOf(db, book)).includes(number)) {
    return { field: 'number', key: 'receipt.paper-receipt.taken', values: { number } }
  }
  if (!(await listPayers(db)).has(payerId)) return { field: 'payerId', key: 'error.choose' }
  const day = await closedDayError(desk, paidOn)
  if (day) return { field: 'paidOn', ...day }
  const payment = { personId: payerId, amountMinor: amount, column, onDate: paidOn, words }
  const paper = { book: book.id, number }
  const happenedAt = noonOf(paidOn, desk.timeZone)
  return { write: (pen) => recordPayment(pen, { ...payment, receipt: paper }, { happenedAt }) }
}

/** The numbers of a paper book that are in the ledger already, taken back or not. */
export async function numbersOf(db: Database, book: PaperBook): Promise<number[]> {
  const own = (await allReceipts(db)).filter(({ transfer }) => transfer.receiptBook === book.id)
  return own.map(({ transfer }) => transfer.receiptNumber!)
}
