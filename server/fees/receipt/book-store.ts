import { appendEntry, type Pen } from '../../book/entries.ts'
import { standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'

/** A paper receipt book with a name and a series of its own. */
export interface PaperBook {
  id: string
  name: string
  firstNumber: number
  lastNumber: number
}

export async function addReceiptBook(pen: Pen, { name, firstNumber, lastNumber }: Omit<PaperBook, 'id'>) {
  const row = { name, first_number: firstNumber, last_number: lastNumber }
  return appendEntry(pen, { kind: 'receipt-book' }, { receipt_book: [row] })
}

export async function listReceiptBooks(db: Database): Promise<PaperBook[]> {
  return db
    .selectFrom('receipt_book')
    .innerJoin('entry', 'entry.id', 'receipt_book.entry_id')
    .where(standing('receipt_book'))
    .select(['entry.id', 'name', 'first_number as firstNumber', 'last_number as lastNumber'])
    .orderBy('entry.seq')
    .execute()
}

/** What somebody read off the paper of a receipt. */
export interface PaperCheck {
  transferId: string
  personId: string
  personName: string
  amountMinor: number
  writerName: string
  writtenAt: string
}

export async function recordPaper(
  pen: Pen,
  { transferId, personId, amountMinor }: Pick<PaperCheck, 'transferId' | 'personId' | 'amountMinor'>,
): Promise<string> {
  const row = { transfer_id: transferId, person_id: personId, amount_minor: amountMinor }
  return appendEntry(pen, { kind: 'receipt-paper' }, { receipt_paper: [row] })
}

/** The last comparison of each receipt with its paper, by the transfer's id. */
export async function paperChecks(db: Database): Promise<Map<string, PaperCheck>> {
  const rows = await db
    .selectFrom('receipt_paper')
    .innerJoin('entry', 'entry.id', 'receipt_paper.entry_id')
    .innerJoin('person', 'person.entry_id', 'receipt_paper.person_id')
    .innerJoin('person as writer', 'writer.entry_id', 'entry.written_by')
    .where(standing('receipt_paper'))
    .select(['transfer_id as transferId', 'person_id as personId', 'amount_minor as amountMinor'])
    .select(['person.name as personName', 'writer.name as writerName', 'entry.written_at as writtenAt'])
    .orderBy('entry.seq')
    .execute()
  return new Map(rows.map((row) => [row.transferId, row]))
}
