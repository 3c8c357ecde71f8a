import type { CalendarDate, Instant } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
import { appendEntry, type Pen } from '../../book/entries.ts'
import { type Approval, approvals } from '../../book/names/approvals.ts'
import { listWithheld, type Withheld } from '../../book/names/withheld-store.ts'
import { readTogether } from '../../book/register/together.ts'
import { asWritten, standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'
import type { PeriodBooks } from '../reconcile/books.ts'

/** A period that was closed with the figures of that day; it is closed once the second name stands under it. */
export interface Closing {
  id: string
  from: CalendarDate
  to: CalendarDate
  books: PeriodBooks
  writerId: Id<'person'>
  writerName: string
  writtenAt: Instant
  approval: Approval | null
  withheld: Withheld | null
}

export async function closePeriod(pen: Pen, books: PeriodBooks): Promise<string> {
  const row = { fromOn: books.from, toOn: books.to, figures: JSON.stringify(books) }
  return appendEntry(pen, { kind: 'period-closing' }, { periodClosing: [row] })
}

const closingRows = readTogether('money', (db) =>
  db
    .selectFrom('periodClosing')
    .innerJoin('entry', 'entry.id', 'periodClosing.entryId')
    .innerJoin('person', 'person.entryId', 'entry.writtenBy')
    .where(standing('periodClosing'))
    .select(['entry.id', 'fromOn', 'toOn', 'figures', 'entry.writtenBy', 'entry.writtenAt', 'person.name'])
    .orderBy(asWritten),
)

export async function listClosings(db: Database): Promise<Closing[]> {
  const rows = await closingRows(db)
  const [named, withheld] = [await approvals(db), await listWithheld(db)]
  return rows.map((row) => ({
    id: row.id,
    from: row.fromOn,
    to: row.toOn,
    books: JSON.parse(row.figures) as PeriodBooks,
    writerId: row.writtenBy,
    writerName: row.name,
    writtenAt: row.writtenAt,
    approval: named.get(row.id) ?? null,
    withheld: withheld.get(row.id) ?? null,
  }))
}
