import type { CalendarDate } from '../../../domain/calendar.ts'
import { type Approval, approvals } from '../../book/approvals.ts'
import { appendEntry, type Pen } from '../../book/entries.ts'
import { standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'
import type { PeriodBooks } from '../reconcile/books.ts'

/** A period that was closed with the figures of that day; it is closed once the second name stands under it. */
export interface Closing {
  id: string
  from: CalendarDate
  to: CalendarDate
  books: PeriodBooks
  writerId: string
  writerName: string
  writtenAt: string
  approval: Approval | null
}

export async function closePeriod(pen: Pen, books: PeriodBooks): Promise<string> {
  const row = { from_on: books.from, to_on: books.to, figures: JSON.stringify(books) }
  return appendEntry(pen, { kind: 'period-closing' }, { period_closing: [row] })
}

export async function listClosings(db: Database): Promise<Closing[]> {
  const rows = await db
    .selectFrom('period_closing')
    .innerJoin('entry', 'entry.id', 'period_closing.entry_id')
    .innerJoin('person', 'person.entry_id', 'entry.written_by')
    .where(standing('period_closing'))
    .select(['entry.id', 'from_on', 'to_on', 'figures', 'entry.written_by', 'entry.written_at', 'person.name'])
    .orderBy('entry.seq')
    .execute()
  const named = await approvals(db)
  return rows.map((row) => ({
    id: row.id,
    from: row.from_on,
    to: row.to_on,
    books: JSON.parse(row.figures) as PeriodBooks,
    writerId: row.written_by,
    writerName: row.name,
    writtenAt: row.written_at,
    approval: named.get(row.id) ?? null,
  }))
}
