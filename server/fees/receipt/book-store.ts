import type { Instant } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
import { appendEntry, type Pen } from '../../book/entries.ts'
import { readTogether } from '../../book/register/together.ts'
import { asWritten, standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'

/** A paper receipt book with a name and a series of its own. */
export interface PaperBook {
  id: string
  name: string
  firstNumber: number
  lastNumber: number
}

export async function addReceiptBook(pen: Pen, { name, firstNumber, lastNumber }: Omit<PaperBook, 'id'>) {
  const row = { name, firstNumber, lastNumber }
  return appendEntry(pen, { kind: 'receipt-book' }, { receiptBook: [row] })
}

export const listReceiptBooks = readTogether('money', (db) =>
  db
    .selectFrom('receiptBook')
    .innerJoin('entry', 'entry.id', 'receiptBook.entryId')
    .where(standing('receiptBook'))
    .select(['entry.id', 'name', 'firstNumber', 'lastNumber'])
    .orderBy(asWritten),
)

/** What somebody read off the paper of a receipt. */
export interface PaperCheck {
  transferId: Id<'transfer'>
  personId: Id<'person'>
  personName: string
  amountMinor: number
  writerName: string
  writtenAt: Instant
}

export async function recordPaper(
  pen: Pen,
  { transferId, personId, amountMinor }: Pick<PaperCheck, 'transferId' | 'personId' | 'amountMinor'>,
): Promise<string> {
  const row = { transferId, personId, amountMinor }
  return appendEntry(pen, { kind: 'receipt-paper' }, { receiptPaper: [row] })
}

const paperRows = readTogether('money', (db) =>
  db
    .selectFrom('receiptPaper')
    .innerJoin('entry', 'entry.id', 'receiptPaper.entryId')
    .innerJoin('person', 'person.entryId', 'receiptPaper.personId')
    .innerJoin('person as writer', 'writer.entryId', 'entry.writtenBy')
    .where(standing('receiptPaper'))
    .select(['transferId', 'personId', 'amountMinor'])
    .select(['person.name as personName', 'writer.name as writerName', 'entry.writtenAt'])
    .orderBy(asWritten),
)

/** The last comparison of each receipt with its paper, by the transfer's id. */
export async function paperChecks(db: Database): Promise<Map<string, PaperCheck>> {
  const rows = await paperRows(db)
  return new Map(rows.map((row) => [row.transferId, row]))
}
