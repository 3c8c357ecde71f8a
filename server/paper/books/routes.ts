import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import type { Parts } from '../../parts.ts'
import { sendCsv, writeCsv } from '../../web/figures/csv.ts'
import { listsOf, paperColumns } from '../../web/forms/paper.ts'
import { PageError } from '../../web/pages/errors.ts'
import { may } from '../../web/pages/guard.ts'
import { page } from '../../web/pages/page.ts'
import { addTypingRoutes } from '../typing/routes.ts'
import { hrefOfEntry, paperPageOf, typedPages, writtenRows } from '../typing/store.ts'
import { bookOr404, formOfBook, maySeePages, mayType, PAPER_BOOKS } from './books.ts'
import { marksOf } from './marks.ts'

type Said = { Querystring: { twice?: string; known?: string } }
type WithBook = { Params: { book: string } } & Said
/** As many rows as a sheet of A4 has under its heading. */
const ROWS_OF_A_SHEET = 16

/** The books on paper: blank forms to print, and the pages that were typed in. */
export function addPaperBookRoutes(app: FastifyInstance, parts: Parts): void {
  const { db } = parts
  const guard = { preHandler: may('abstractions.see') }

  app.get('/', guard, async (request, reply) =>
    page({ request, reply }, 'paper/books/list', {
      title: 'paper.title',
      books: PAPER_BOOKS.map((book) => ({ name: book.name, typed: mayType(request, book) })),
    }),
  )

  app.get<WithBook>('/:book', guard, async (request, reply) => {
    const book = bookOr404(request.params.book)
    const columns = paperColumns(formOfBook(book, request), book.carried, request.visit.locale.t)
    const marks = await marksOf(db, request)
    return page({ request, reply }, 'paper/books/blank', {
      title: `paper.book.${book.name}`,
      book: book.name,
      columns,
      lists: listsOf(columns, marks),
      carried: columns.filter(({ name }) => book.carried.includes(name)).map(({ label }) => label),
      rows: ROWS_OF_A_SHEET,
      typed: mayType(request, book),
      pages: maySeePages(request, book) ? await typedPages(db, book.name) : [],
      ...saidOf(request.query),
    })
  })

  app.get<WithBook>('/:book/blank.csv', guard, async (request, reply) => {
    const book = bookOr404(request.params.book)
    const columns = paperColumns(formOfBook(book, request), book.carried, request.visit.locale.t)
    return sendCsv(reply, book.name, writeCsv({ columns: columns.map(({ label }) => label), rows: [] }))
  })

  app.get<{ Params: { book: string; page: string } } & Said>('/:book/pages/:page', guard, showPage)

  addTypingRoutes(app, parts)

  async function showPage(
    request: FastifyRequest<{ Params: { book: string; page: string } } & Said>,
    reply: FastifyReply,
  ) {
    const book = bookOr404(request.params.book)
    if (!maySeePages(request, book)) throw new PageError(403, 'error.page-403')
    const pageNo = request.params.page
    const rows = await writtenRows(db, paperPageOf(book.name, pageNo))
    if (rows.length === 0) throw new PageError(404, 'error.page-404')
    return page({ request, reply }, 'paper/typing/page', {
      title: `paper.page-of.${book.name}`,
      titleValues: { page: pageNo },
      book: book.name,
      count: new Set(rows.map(({ row }) => row)).size,
      rows: await Promise.all(rows.map(async (row) => ({ ...row, href: await hrefOfEntry(db, row) }))),
      ...saidOf(request.query),
    })
  }
}

/** How many rows added nothing, as the answer of a page that was just sent says. */
function saidOf({ twice, known }: Said['Querystring']) {
  return { twice: Number(twice) || 0, known: Number(known) || 0 }
}
