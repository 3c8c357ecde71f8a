import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { isCalendarDate } from '../../../domain/calendar.ts'
import { InputError } from '../../../domain/input-error.ts'
import type { Parts } from '../../parts.ts'
import { lines, optional, text } from '../../web/forms/fields.ts'
import { defineForm, emptyForm, type Filled, readForm, withError } from '../../web/forms/forms.ts'
import {
  carriedDown,
  listsOf,
  type PaperColumn,
  type PaperRow,
  paperColumns,
  typedRows,
} from '../../web/forms/paper.ts'
import { pastedRows } from '../../web/forms/paper-paste.ts'
import { PageError } from '../../web/pages/errors.ts'
import { may } from '../../web/pages/guard.ts'
import { page } from '../../web/pages/page.ts'
import { bookOr404, formOfBook, mayType } from '../books/books.ts'
import { marksOf } from '../books/marks.ts'
import type { PaperBook } from '../books/types.ts'
import { type BadRow, keepRows, sortRows } from './rows.ts'
import { paperPageOf, writtenRows } from './store.ts'

type WithBook = { Params: { book: string }; Querystring: { page?: string; on?: string } }

/** Rows on the screen; a longer page is pasted, or typed in two goes under the same page number. */
const ROWS_TO_TYPE = 16
const MOST_ROWS = 400

const PageForm = defineForm('paper.page', { pageNo: text({ max: 20 }), pasted: optional(lines({ max: 100_000 })) })

/** A filled page of paper, typed in as one table or pasted from a spreadsheet. */
export function addTypingRoutes(app: FastifyInstance, { db, now }: Parts): void {
  const guard = { preHandler: may('abstractions.see') }

  app.get<WithBook>('/:book/pages/new', guard, async (request, reply) => {
    const book = typableOr404(request, request.params.book)
    const on = request.query.on ?? ''
    const known = isCalendarDate(on) ? ((await book.planned?.rows(db, on)) ?? []) : []
    const rows = asTyped(known.map((cells, at) => ({ row: at + 1, cells })))
    return show(request, reply, { book, filled: emptyForm({ pageNo: request.query.page ?? '' }), rows })
  })

  app.post<WithBook>('/:book/pages', guard, async (request, reply) => {
    const book = typableOr404(request, request.params.book)
    const columns = columnsOf(book, request)
    const body = (request.body ?? {}) as Record<string, unknown>
    const typed = typedRows(columns, body, MOST_ROWS)
    const form = readForm(PageForm, body)
    if (!form.ok) return show(request, reply, { book, filled: form, rows: asTyped(typed) })
    const rowLabel = request.visit.locale.t('paper.row')
    const read = rowsOf(columns, typed, { pasted: form.data.pasted, rowLabel })
    if (read instanceof InputError) {
      return show(request, reply, {
        book,
        filled: withError(form, 'pasted', `paper.${read.code}`, read.values),
        rows: asTyped(typed),
      })
    }
    const rows = carriedDown(read, book.carried).filter((row) => tellsMore(row, book))
    if (rows.length === 0)
      return show(request, reply, { book, filled: withError(form, '', 'paper.nothing'), rows: asTyped(typed) })
    return keep(request, reply, { book, columns, filled: form, pageNo: form.data.pageNo, rows })
  })

  interface Typed {
    book: PaperBook
    columns: PaperColumn[]
    filled: Filled
    pageNo: string
    rows: PaperRow[]
  }

  async function keep(request: FastifyRequest, reply: FastifyReply, { book, columns, filled, pageNo, rows }: Typed) {
    const at = now()
    const written = (await writtenRows(db, paperPageOf(book.name, pageNo))).map(({ row }) => row)
    const take = await book.typing.rows({ db, request, at })
    const { good, bad, twice, known } = await sortRows(rows, {
      columns,
      marks: await marksOf(db, request),
      take,
      written,
    })
    if (good.length > 0) await keepRows({ db, request, at, book: book.name, pageNo }, good)
    if (bad.length === 0) {
      const said = `twice=${twice.length}&known=${known.length}`
      const nothingOfIt = good.length + written.length === 0
      const answer = nothingOfIt ? '' : `/pages/${encodeURIComponent(pageNo)}`
      return reply.redirect(`/paper/${book.name}${answer}?${said}`, 303)
    }
    const again = {
      values: { ...filled.values, pasted: '' },
      errors: { '': { key: 'paper.some-bad', values: { count: bad.length } } },
    }
    return show(request, reply, {
      book,
      filled: again,
      rows: bad,
      kept: good.length,
      twice: twice.length,
      known: known.length,
    })
  }

  interface Shown {
    book: PaperBook
    filled: Filled
    rows: BadRow[]
    kept?: number
    twice?: number
    known?: number
  }

  async function show(request: FastifyRequest, reply: FastifyReply, { book, ...shown }: Shown) {
    if (Object.keys(shown.filled.errors).length > 0) reply.code(422)
    const marks = await marksOf(db, request)
    const columns = columnsOf(book, request)
    return page({ request, reply }, 'paper/typing/type', {
      title: `paper.type.${book.name}`,
      book: book.name,
      form: PageForm,
      columns,
      carried: columns.filter(({ name }) => book.carried.includes(name)).map(({ label }) => label),
      lists: listsOf(columns, marks),
      plannable: book.planned !== undefined,
      ...{ kept: 0, twice: 0, known: 0, ...shown },
    })
  }
}

function typableOr404(request: FastifyRequest, name: string): PaperBook {
  const book = bookOr404(name)
  if (!mayType(request, book)) throw new PageError(403, 'error.page-403')
  return book
}

function columnsOf(book: PaperBook, request: FastifyRequest): PaperColumn[] {
  return paperColumns(formOfBook(book, request), book.carried, request.visit.locale.t)
}

/** What was typed and, below it, what was pasted. */
function rowsOf(
  columns: readonly PaperColumn[],
  typed: PaperRow[],
  { pasted, rowLabel }: { pasted: string | null; rowLabel: string },
): PaperRow[] | InputError {
  if (pasted === null) return typed
  try {
    const rows = [...typed, ...pastedRows(columns, pasted, { from: (typed.at(-1)?.row ?? 0) + 1, rowLabel })]
    return rows.length > MOST_ROWS ? new InputError('csv-too-many-rows', { rows: rows.length, most: MOST_ROWS }) : rows
  } catch (error) {
    if (error instanceof InputError) return error
    throw error
  }
}

/** A slip that has not come back yet is no line. */
function tellsMore({ cells }: PaperRow, { planned, carried }: PaperBook): boolean {
  if (!planned) return true
  const beforehand = [...planned.columns, ...carried]
  return Object.entries(cells).some(([name, cell]) => cell !== '' && !beforehand.includes(name))
}

function emptyRows(from: number, count: number): BadRow[] {
  return Array.from({ length: count }, (_, at) => ({ row: from + at, cells: {}, errors: {} }))
}

/** All that was typed, with room for more below. */
function asTyped(typed: readonly PaperRow[]): BadRow[] {
  const last = typed.at(-1)?.row ?? 0
  return [...typed.map((row) => ({ ...row, errors: {} })), ...emptyRows(last + 1, Math.max(0, ROWS_TO_TYPE - last))]
}
