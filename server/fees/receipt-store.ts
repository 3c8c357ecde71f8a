import type { CalendarDate } from '../../domain/calendar.ts'
import { InputError } from '../../domain/input-error.ts'
import type { Database } from '../database/connection.ts'
import type { EntryHead, Pen } from '../database/entries.ts'
import { groupAccount, type MoneyColumn, memberAccount } from './account-store.ts'
import { addTransfer, listTransfers, type WrittenTransfer } from './transfer-store.ts'

/** The series of receipts written on this screen; a paper receipt book has a name of its own and its own series. */
export const SCREEN_BOOK = 'screen'
export const ORIGINALS = ['back', 'never-given', 'lost'] as const

export interface NewPayment {
  personId: string
  amountMinor: number
  column: MoneyColumn
  onDate: CalendarDate
  words?: string | null
}

/**
 * Takes a payment and gives the number of its receipt, the next of the unbroken series, which is found in the same
 * transaction that writes it. Throws InputError `no-account` when the payer has none.
 */
export async function recordPayment(
  pen: Pen,
  { personId, amountMinor, column, onDate, words = null }: NewPayment,
  head: Pick<EntryHead, 'happenedAt' | 'paperPage' | 'paperRow'> = {},
): Promise<number> {
  const accountId = await memberAccount(pen.trx, personId)
  if (!accountId) throw new InputError('no-account')
  const number = await nextReceiptNumber(pen.trx)
  const moved = {
    kind: 'receipt',
    debitAccountId: await groupAccount(pen.trx, column),
    creditAccountId: accountId,
    amountMinor,
    onDate,
    receipt: { book: SCREEN_BOOK, number },
    words,
  } as const
  await addTransfer(pen, moved, { ...head, forPersonId: personId })
  return number
}

export async function nextReceiptNumber(db: Database): Promise<number> {
  const row = await db
    .selectFrom('transfer')
    .select((eb) => eb.fn.max('receipt_number').as('last'))
    .where('receipt_book', '=', SCREEN_BOOK)
    .executeTakeFirst()
  return (row?.last ?? 0) + 1
}

/**
 * Takes a payment back: the money moves the other way, the receipt keeps its number and both stay in the book.
 * Throws InputError `already-void` when it was taken back before.
 */
export async function voidReceipt(
  pen: Pen,
  voided: { receipt: WrittenTransfer; reason: string; original: (typeof ORIGINALS)[number]; onDate: CalendarDate },
): Promise<string> {
  const { receipt, reason, original, onDate } = voided
  const earlier = await pen.trx
    .selectFrom('entry')
    .select('id')
    .where('corrects_id', '=', receipt.id)
    .executeTakeFirst()
  if (earlier) throw new InputError('already-void')
  const moved = {
    kind: 'correction',
    debitAccountId: receipt.creditAccountId,
    creditAccountId: receipt.debitAccountId,
    amountMinor: receipt.amountMinor,
    onDate,
    original,
  } as const
  return addTransfer(pen, moved, { correctsId: receipt.id, reason })
}

export interface Receipt {
  transfer: WrittenTransfer
  /** The transfer that took it back, if any. */
  voidedBy: WrittenTransfer | null
}

/** The receipts of the screen's series, by number. */
export async function listReceipts(db: Database): Promise<Receipt[]> {
  const transfers = await listTransfers(db)
  const corrections = new Map(transfers.map((transfer) => [transfer.correctsId, transfer]))
  return transfers
    .filter((transfer) => transfer.receiptBook === SCREEN_BOOK)
    .map((transfer) => ({ transfer, voidedBy: corrections.get(transfer.id) ?? null }))
    .sort((a, b) => a.transfer.receiptNumber! - b.transfer.receiptNumber!)
}

export async function findReceipt(db: Database, number: number): Promise<Receipt | undefined> {
  return (await listReceipts(db)).find(({ transfer }) => transfer.receiptNumber === number)
}
