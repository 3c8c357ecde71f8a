import type { Database } from '../../database/connection.ts'

/** How a page is named in the book: its register and the number written on it. */
export function paperPageOf(book: string, pageNo: string): string {
  return `${book} ${pageNo}`
}

interface WrittenRow {
  row: number
  id: string
  kind: string
  happenedAt: string
  writtenAt: string
  writerName: string
  corrected: boolean
}

/** The rows of a page that are in the book already, whatever became of them. */
export async function writtenRows(db: Database, page: string): Promise<WrittenRow[]> {
  const rows = await db
    .selectFrom('entry')
    .innerJoin('person as writer', 'writer.entry_id', 'entry.written_by')
    .leftJoin('entry as correction', 'correction.corrects_id', 'entry.id')
    .select(['entry.id', 'entry.kind', 'entry.paper_row as row', 'entry.happened_at as happenedAt'])
    .select(['entry.written_at as writtenAt', 'writer.name as writerName', 'correction.id as correction'])
    .where('entry.paper_page', '=', page)
    .orderBy('entry.paper_row')
    .orderBy('entry.seq')
    .execute()
  return rows.map(({ correction, row, ...written }) => ({ ...written, row: row ?? 0, corrected: correction !== null }))
}

/** The pages of a register that were typed in, newest first. */
export async function typedPages(db: Database, book: string): Promise<{ pageNo: string; rows: number }[]> {
  const pages = await db
    .selectFrom('entry')
    .select((eb) => [
      'paper_page as page',
      eb.fn.count<number>('paper_row').distinct().as('rows'),
      eb.fn.max('seq').as('last'),
    ])
    .where('paper_page', 'like', `${book} %`)
    .groupBy('paper_page')
    .orderBy('last', 'desc')
    .execute()
  return pages.map(({ page, rows }) => ({ pageNo: page!.slice(book.length + 1), rows: Number(rows) }))
}

/** The page on which an entry can be opened. */
export async function hrefOfEntry(db: Database, { id, kind }: { id: string; kind: string }): Promise<string | null> {
  if (kind === 'abstraction') return `/log/abstractions/${id}`
  if (kind === 'level-reading') return `/water/levels/${id}`
  if (kind === 'receipt') return `/money/receipts/${id}`
  if (kind === 'weather-day') {
    const day = await db.selectFrom('weather_day').select('on_date').where('entry_id', '=', id).executeTakeFirst()
    return day ? `/crops/weather/${day.on_date}` : null
  }
  if (kind === 'draw-slip') {
    const slip = await db.selectFrom('draw_slip').select('subject_id').where('entry_id', '=', id).executeTakeFirst()
    return slip ? `/log/abstractions/${slip.subject_id}` : null
  }
  return BOOK_OF_KIND[kind] ?? null
}

/** Small registers have no page for each line; the book itself is opened. */
const BOOK_OF_KIND: Record<string, string> = {
  'flow-test': '/works/flow-tests',
  'pump-day-reading': '/works/balance/pumps',
  'tank-reading': '/works/tank-days',
  'tank-day': '/works/tank-days',
  'water-request': '/turns/requests',
  'standing-request': '/turns/requests',
}
