import { endOfBook } from '../../book/verify.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { found } from '../../web/pages/errors.ts'
import { page } from '../../web/pages/page.ts'
import type { Span } from './printed-books.ts'
import { PRINTED_BOOKS } from './printed-works.ts'

/** As many lines as a phone on a slow line loads at once; a longer book comes in parts. */
const LINES_OF_A_PART = 200

/** The water side of the season as printed books: a cover that lists them, and one book a page. */
export function addPrintPages({ get }: Pages): void {
  get('/book/print', 'abstractions.see', showCover)
  get('/book/print/:book', 'abstractions.see', showBook)
}

async function showCover(desk: Desk) {
  const { db, group, request } = desk
  const span = seasonOf(desk)
  const books = []
  for (const book of PRINTED_BOOKS) {
    books.push({ name: book.name, title: book.title, lines: (await book.rows(db, request.visit, span)).length })
  }
  return page(desk, 'paper/whole-book/cover', {
    title: 'abstractions.out.print-title',
    titleValues: { name: group.name },
    ...span,
    books,
    bookEnd: await endOfBook(db),
  })
}

async function showBook(desk: Desk<'book'>) {
  const { db, request, params, query, t } = desk
  const book = found(PRINTED_BOOKS.find((one) => one.name === params.book))
  const span = seasonOf(desk)
  const rows = await book.rows(db, request.visit, span)
  const parts = Math.max(1, Math.ceil(rows.length / LINES_OF_A_PART))
  const part = Math.min(parts, Math.max(1, Math.floor(Number(query.part)) || 1))
  return page(desk, 'paper/whole-book/print', {
    title: book.title,
    ...span,
    book: book.name,
    part,
    parts,
    lines: rows.length,
    columns: book.heads.map((head) => t(head)),
    rows: rows.slice((part - 1) * LINES_OF_A_PART, part * LINES_OF_A_PART),
  })
}

function seasonOf({ group, today }: Desk): Span {
  return { fromOn: group.seasonStartOn, toOn: [group.seasonEndOn, today].toSorted()[0]! }
}
