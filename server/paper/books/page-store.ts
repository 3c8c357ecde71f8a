import type { Instant } from '../../../domain/calendar.ts'
import type { Database } from '../../database/connection.ts'

/** How a page is named in the book: its register and the number written on it. */
export function paperPageOf(book: string, pageNo: string): string {
  return `${book} ${pageNo}`
}

interface WrittenRow {
  row: number
  id: string
  kind: string
  happenedAt: Instant
  writtenAt: Instant
  writerName: string
  corrected: boolean
}

/** The rows of a page that are in the book already, whatever became of them. */
export async function writtenRows(db: Database, page: string): Promise<WrittenRow[]> {
  const rows = await db
    .selectFrom('entry')
    .innerJoin('person as writer', 'writer.entryId', 'entry.writtenBy')
    .leftJoin('entry as correction', 'correction.correctsId', 'entry.id')
    .select(['entry.id', 'entry.kind', 'entry.paperRow as row', 'entry.happenedAt'])
    .select(['entry.writtenAt', 'writer.name as writerName', 'correction.id as correction'])
    .where('entry.paperPage', '=', page)
    .orderBy('entry.paperRow')
    .orderBy('entry.seq')
    .execute()
  return rows.map(({ correction, row, ...written }) => ({ ...written, row: row ?? 0, corrected: correction !== null }))
}

/** The pages of a register that were typed in, newest first. */
export async function typedPages(db: Database, book: string): Promise<{ pageNo: string; rows: number }[]> {
  const pages = await db
    .selectFrom('entry')
    .select((eb) => [
      'paperPage as page',
      eb.fn.count<number>('paperRow').distinct().as('rows'),
      eb.fn.max('seq').as('last'),
    ])
    // The sign after a blank is an exclamation mark: all pages of the register, found by their index.
    .where('paperPage', '>=', `${book} `)
    .where('paperPage', '<', `${book}!`)
    .groupBy('paperPage')
    .orderBy('last', 'desc')
    .execute()
  return pages.map(({ page, rows }) => ({ pageNo: page!.slice(book.length + 1), rows: Number(rows) }))
}

/** The page on which an entry can be opened. */
export async function hrefOfEntry(db: Database, { id, kind }: { id: string; kind: string }): Promise<string | null> {
  if (kind === 'abstraction') return `/log/lines/drawn/${id}`
  if (kind === 'level-reading') return `/water/lines/level/${id}`
  if (kind === 'receipt') return `/money/receipts/${id}`
  if (kind === 'weather-day') {
    const day = await db.selectFrom('weatherDay').select('onDate').where('entryId', '=', id).executeTakeFirst()
    return day ? `/crops/lines/weather/${day.onDate}` : null
  }
  if (kind === 'draw-slip') {
    const slip = await db.selectFrom('drawSlip').select('subjectId').where('entryId', '=', id).executeTakeFirst()
    return slip ? `/log/lines/drawn/${slip.subjectId}` : null
  }
  return BOOK_OF_KIND[kind] ?? null
}

/** Small registers have no page for each line; the book itself is opened. */
const BOOK_OF_KIND: Record<string, string> = {
  'flow-test': '/log/tests',
  'pump-day-reading': '/log/working/pumps',
  'tank-reading': '/log/lines/tank-day',
  'tank-day': '/log/lines/tank-day',
  'water-request': '/turns/asked',
  'standing-request': '/turns/asked',
}
