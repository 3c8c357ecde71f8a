import { isCalendarDate } from '../../../domain/calendar.ts'
import { InputError } from '../../../domain/input-error.ts'
import { lines, optional, text } from '../../web/forms/fields.ts'
import { defineForm, emptyForm, type Filled, readForm, SURE, withError } from '../../web/forms/forms.ts'
import { carriedDown, listsOf, rowsOfSheet, type SheetColumn, type SheetRow, typedRows } from '../../web/forms/sheet.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { PageError } from '../../web/pages/errors.ts'
import { page } from '../../web/pages/page.ts'
import type { PaperBook } from '../../web/pages/paper-book.ts'
import { bookOr404, mayType } from '../books/books.ts'
import { columnsOf } from '../books/columns.ts'
import { marksOf } from '../books/marks.ts'
import { paperPageOf, writtenRows } from '../books/page-store.ts'
import { type BadRow, keepRows, sortRows } from './rows.ts'
import { asTyped, MOST_ROWS, openRows, rowsOf, wrongCells } from './typed.ts'

/** All rows of the widest book. */
const MOST_FIELDS_OF_PAGE = 10_000

const PageForm = defineForm('paper.page', { pageNo: text({ max: 20 }), pasted: optional(lines({ max: 100_000 })) })

/** A filled page of paper, typed in as one table or pasted from a spreadsheet. */
export function addTypingPages({ get, post }: Pages): void {
  get('/paper/:book/type', 'abstractions.see', newPage)
  post('/paper/:book/type', 'abstractions.see', writePage, { mostFields: MOST_FIELDS_OF_PAGE })
}

async function newPage(desk: Desk<'book'>) {
  const book = typableOr403(desk)
  const { on = '', page: pageNo = '' } = desk.query
  const known = isCalendarDate(on) ? ((await book.planned?.rows(desk.db, on)) ?? []) : []
  const typed = known.map((cells, at) => ({ row: at + 1, cells }))
  const rows = asTyped(typed, rowsOfSheet(book.sheet(desk)))
  return show(desk, { book, filled: emptyForm({ pageNo }), rows })
}

async function writePage(desk: Desk<'book'>) {
  const book = typableOr403(desk)
  const sheet = book.sheet(desk)
  const columns = await columnsOf(desk, book)
  const body = (desk.body ?? {}) as Record<string, unknown>
  const typed = typedRows(columns, body, MOST_ROWS)
  const again = (filled: Filled) => show(desk, { book, filled, rows: asTyped(typed, rowsOfSheet(sheet)) })
  const form = readForm(PageForm, body)
  if (!form.ok) return again(form)
  const { pageNo, pasted } = form.data
  const read = rowsOf(columns, typed, { pasted, rowLabel: desk.t('paper.row') })
  if (read instanceof InputError) return again(withError(form, 'pasted', `paper.${read.code}`, read.values))
  const rows = carriedDown(read, sheet.head).filter((row) => tellsMore(row, book, sheet.head))
  if (rows.length === 0) return again(withError(form, '', 'paper.nothing'))
  return keep(desk, { book, columns, filled: form, pageNo, rows })
}

interface Typed {
  book: PaperBook
  columns: SheetColumn[]
  filled: Filled
  pageNo: string
  rows: SheetRow[]
}

/** Writes what can be written; what must be mended stands on the page again. */
async function keep(desk: Desk, { book, columns, filled, pageNo, rows }: Typed) {
  const written = (await writtenRows(desk.db, paperPageOf(book.name, pageNo))).map(({ row }) => row)
  const take = await book.typing.rows(desk)
  const marks = await marksOf(desk)
  const sure = (desk.body as Record<string, unknown>)[SURE]
  const { good, bad, twice, known } = await sortRows(rows, {
    form: book.sheet(desk).form,
    columns,
    marks,
    take,
    written,
    sure,
  })
  if (good.length > 0) await keepRows(desk, { book: book.name, pageNo, isWhole: bad.length === 0 }, good)
  if (bad.length === 0) {
    const isNothing = good.length + written.length === 0
    const answer = isNothing ? '' : `/pages/${encodeURIComponent(pageNo)}`
    return desk.reply.redirect(`/paper/${book.name}${answer}?twice=${twice.length}&known=${known.length}`, 303)
  }
  const again = {
    values: { ...filled.values, pasted: '' },
    errors: { '': { key: 'paper.some-bad', values: { count: bad.length } } },
  }
  const counts = { kept: good.length, twice: twice.length, known: known.length }
  return show(desk, { book, filled: again, rows: bad, ...counts })
}

interface Shown {
  book: PaperBook
  filled: Filled
  rows: BadRow[]
  kept?: number
  twice?: number
  known?: number
}

async function show(desk: Desk, { book, filled, rows, kept = 0, twice = 0, known = 0 }: Shown) {
  if (Object.keys(filled.errors).length > 0) desk.reply.code(422)
  const sheet = book.sheet(desk)
  const columns = await columnsOf(desk, book)
  const { open, folded } = openRows(rows)
  const shownRow = (row: BadRow) => ({ ...row, wrong: wrongCells(row, columns) })
  return page(desk, 'paper/typing/type', {
    title: `paper.type.${book.name}`,
    book: book.name,
    form: PageForm,
    columns,
    carried: columns.slice(0, sheet.head.length).map(({ label }) => label),
    lists: listsOf(columns, await marksOf(desk)),
    plannable: book.planned !== undefined,
    filled,
    rows: open.map(shownRow),
    moreRows: folded.map(shownRow),
    kept,
    twice,
    known,
  })
}

function typableOr403(desk: Desk<'book'>): PaperBook {
  const book = bookOr404(desk.params.book)
  if (!mayType(desk, book)) throw new PageError(403, 'error.page-403')
  return book
}

/** A slip that has not come back yet is no line. */
function tellsMore({ cells }: SheetRow, { planned }: PaperBook, head: readonly string[]): boolean {
  if (!planned) return true
  const beforehand = [...planned.columns, ...head]
  return Object.entries(cells).some(([name, cell]) => cell !== '' && !beforehand.includes(name))
}
