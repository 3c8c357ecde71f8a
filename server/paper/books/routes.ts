import { sendCsv, writeCsv } from '../../web/figures/csv.ts'
import { moneyWords } from '../../web/figures/money-words.ts'
import { listsOf, rowsOfSheet, type SheetColumn } from '../../web/forms/sheet.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { PageError } from '../../web/pages/errors.ts'
import { page } from '../../web/pages/page.ts'
import { bookOr404, maySeePages, mayType, PAPER_BOOKS } from './books.ts'
import { columnsOf } from './columns.ts'
import { marksOf } from './marks.ts'
import { hrefOfEntry, paperPageOf, typedPages, writtenRows } from './page-store.ts'

/** The books on paper: blank forms to print, and the pages that were typed in. */
export function addPaperBookPages({ get }: Pages): void {
  get('/paper', 'abstractions.see', showBooks)
  get('/paper/:book', 'abstractions.see', showBlank)
  get('/paper/:book/blank.csv', 'abstractions.see', sendBlank)
  get('/paper/:book/pages/:page', 'abstractions.see', showTyped)
}

async function showBooks(desk: Desk) {
  return page(desk, 'paper/books/list', {
    title: 'paper.title',
    books: PAPER_BOOKS.map((book) => ({ name: book.name, typed: mayType(desk, book) })),
  })
}

async function showBlank(desk: Desk<'book'>) {
  const book = bookOr404(desk.params.book)
  const sheet = book.sheet(desk)
  const columns = await columnsOf(desk, book)
  return page(desk, 'paper/books/blank', {
    title: `paper.book.${book.name}`,
    book: book.name,
    columns,
    lists: listsOf(columns, await marksOf(desk)),
    carried: columns.slice(0, sheet.head.length).map(({ label }) => label),
    rows: book.name === 'pump-log' ? ROWS_OF_THE_LOG : rowsOfSheet(sheet),
    letters: book.name === 'pump-log' ? lettersOf(columns) : null,
    currency: book.name === 'cash-book' ? moneyWords(desk).currency : null,
    typed: mayType(desk, book),
    pages: maySeePages(desk, book) ? await typedPages(desk.db, book.name) : [],
    ...saidOf(desk),
  })
}

/** Boxes large enough for a thick pen leave room for so many on a sheet of A4. */
const ROWS_OF_THE_LOG = 12

/** What is written in place of a plot's number where the water was for something else: the first letter of its word. */
function lettersOf(columns: readonly SheetColumn[]): string {
  const words = columns.find(({ name }) => name === 'use')?.words ?? []
  const others = words.filter(({ value }) => value !== 'irrigation')
  return others.map(({ label }) => `${label.slice(0, 1).toUpperCase()} ${label}`).join(', ')
}

async function sendBlank(desk: Desk<'book'>) {
  const book = bookOr404(desk.params.book)
  const columns = await columnsOf(desk, book)
  return sendCsv(desk.reply, book.name, writeCsv({ columns: columns.map(({ label }) => label), rows: [] }))
}

async function showTyped(desk: Desk<'book' | 'page'>) {
  const { db, params } = desk
  const book = bookOr404(params.book)
  if (!maySeePages(desk, book)) throw new PageError(403, 'error.page-403')
  const rows = await writtenRows(db, paperPageOf(book.name, params.page))
  if (rows.length === 0) throw new PageError(404, 'error.page-404')
  return page(desk, 'paper/typing/page', {
    title: `paper.page-of.${book.name}`,
    titleValues: { page: params.page },
    book: book.name,
    count: new Set(rows.map(({ row }) => row)).size,
    rows: await Promise.all(rows.map(async (row) => ({ ...row, href: await hrefOfEntry(db, row) }))),
    ...saidOf(desk),
  })
}

/** How many rows added nothing, as the answer of a page that was just sent says. */
function saidOf({ query }: Desk) {
  return { twice: Number(query.twice) || 0, known: Number(query.known) || 0 }
}
