import { sql } from 'kysely'
import type { CalendarDate } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
import { InputError } from '../../../domain/input-error.ts'
import type { EntryHead, Facts, Pen } from '../../book/entries.ts'
import { kept } from '../../book/kept-answers.ts'
import type { Database } from '../../database/connection.ts'
import { localInstant } from '../../web/pages/visit.ts'
import { listAccounts, type MoneyColumn } from '../ledger/account-store.ts'
import { addTransfer, listTransfers, type WrittenTransfer } from '../ledger/transfer-store.ts'

/** The series of receipts written on this screen; a paper receipt book has a name of its own and its own series. */
export const SCREEN_BOOK = 'screen'
export const ORIGINALS = ['back', 'never-given', 'lost'] as const

export interface NewPayment {
  personId: Id<'person'>
  amountMinor: number
  /** Labour and produce are taken at an agreed rate and touch no money. */
  column: MoneyColumn | 'labour' | 'produce'
  onDate: CalendarDate
  words?: string | null
  /** The number that a paper receipt already bears, or that the screen's series gives next; else it is asked for. */
  receipt?: { book: string; number: number }
}

/**
 * Takes a payment and gives the number of its receipt: the paper's own, or the next of the screen's unbroken series, which
 * is found in the same transaction that writes it. Throws InputError `no-account` when the payer has none.
 */
export async function recordPayment(
  pen: Pen,
  { personId, amountMinor, column, onDate, words = null, ...own }: NewPayment,
  head: Pick<EntryHead, 'happenedAt' | 'paperPage' | 'paperRow'> = {},
  more: Facts = {},
): Promise<number> {
  const accounts = await listAccounts(pen.trx)
  const accountId = accounts.find((one) => one.personId === personId)?.id
  if (!accountId) throw new InputError('no-account')
  const receipt = own.receipt ?? { book: SCREEN_BOOK, number: await nextReceiptNumber(pen.trx) }
  const moved = {
    kind: 'receipt',
    debitAccountId: accounts.find((one) => one.code === column)!.id,
    creditAccountId: accountId,
    amountMinor,
    onDate,
    receipt,
    words,
  } as const
  await addTransfer(pen, moved, { ...head, forPersonId: personId }, more)
  return receipt.number
}

export async function nextReceiptNumber(db: Database): Promise<number> {
  const { rows } = await sql<{ last: number | null }>`
    select max(receipt_number) as last from transfer where receipt_book = ${SCREEN_BOOK}`.execute(db)
  return (rows[0]?.last ?? 0) + 1
}

/**
 * Takes a payment back: the money moves the other way, the receipt keeps its number and both stay in the book.
 * Throws InputError `already-void` when it was taken back before.
 */
export async function voidReceipt(
  pen: Pen,
  voided: {
    receipt: WrittenTransfer
    reason: string
    /** Where its paper is; not asked when another receipt takes its place. */
    original?: (typeof ORIGINALS)[number]
    onDate: CalendarDate
  },
): Promise<string> {
  const { receipt, reason, original, onDate } = voided
  const earlier = await pen.trx.selectFrom('entry').select('id').where('correctsId', '=', receipt.id).executeTakeFirst()
  if (earlier) throw new InputError('already-void')
  const moved = {
    kind: 'correction',
    debitAccountId: receipt.creditAccountId,
    creditAccountId: receipt.debitAccountId,
    amountMinor: receipt.amountMinor,
    onDate,
    ...(original && { original }),
  } as const
  return addTransfer(pen, moved, { correctsId: receipt.id, reason })
}

export interface Receipt {
  transfer: WrittenTransfer
  /** The transfer that took it back, if any. */
  voidedBy: WrittenTransfer | null
}

/** The receipts of every book, by book and number. */
export function allReceipts(db: Database): Promise<readonly Receipt[]> {
  return kept(db, 'receipts', null, () => sortedReceipts(db))
}

async function sortedReceipts(db: Database): Promise<Receipt[]> {
  const transfers = await listTransfers(db)
  const corrections = new Map(transfers.map((transfer) => [transfer.correctsId, transfer]))
  return transfers
    .filter((transfer) => transfer.receiptNumber !== null)
    .map((transfer) => ({ transfer, voidedBy: corrections.get(transfer.id) ?? null }))
    .sort(
      (a, b) =>
        a.transfer.receiptBook!.localeCompare(b.transfer.receiptBook!) ||
        a.transfer.receiptNumber! - b.transfer.receiptNumber!,
    )
}

/** A receipt by its address: the number of the screen's series, or the id of a paper one. */
export async function findReceipt(db: Database, key: string): Promise<Receipt | undefined> {
  return (await allReceipts(db)).find(({ transfer }) => receiptKey(transfer) === key)
}

/** What stands in the address of a receipt's page. */
export function receiptKey({ id, receiptBook, receiptNumber }: WrittenTransfer): string {
  return receiptBook === SCREEN_BOOK ? String(receiptNumber) : id
}

/**
 * A payment that was written on the wrong member: it is taken back there and written again on the right one, on the same
 * side of the cash book. Both receipts stay; the first answer is the number of the new one.
 */
export async function moveReceipt(
  pen: Pen,
  moved: {
    receipt: WrittenTransfer
    column: NewPayment['column']
    personId: Id<'person'>
    reason: string
    words: string
    onDate: CalendarDate
  },
): Promise<number> {
  const { receipt, column, personId, reason, words, onDate } = moved
  await voidReceipt(pen, { receipt, reason, onDate })
  return recordPayment(pen, { personId, amountMinor: receipt.amountMinor, column, onDate, words })
}

/** A payment of an earlier day without an hour is kept at noon of that day. */
export function noonOf(date: CalendarDate, timeZone: string): string {
  return localInstant(date, '12:00', timeZone) ?? `${date}T12:00:00.000Z`
}
