import type { FastifyInstance } from 'fastify'
import { endOfBook } from '../../book/verify.ts'
import type { Parts } from '../../parts.ts'
import { currentGroup } from '../../people/group/store.ts'
import { found } from '../../web/pages/errors.ts'
import { may } from '../../web/pages/guard.ts'
import { page } from '../../web/pages/page.ts'
import type { Span } from './printed-books.ts'
import { PRINTED_BOOKS } from './printed-works.ts'

/** As many lines as a phone on a slow line loads at once; a longer book comes in parts. */
const LINES_OF_A_PART = 200

type OfBook = { Params: { book: string }; Querystring: { part?: string } }

/** The water side of the season as printed books: a cover that lists them, and one book a page. */
export function addPrintRoutes(app: FastifyInstance, { db }: Parts): void {
  const guard = { preHandler: may('abstractions.see') }

  app.get('/book/print', guard, async (request, reply) => {
    const { name, span } = await season(request.visit.today)
    const books = []
    for (const book of PRINTED_BOOKS) {
      books.push({ name: book.name, title: book.title, lines: (await book.rows(db, request.visit, span)).length })
    }
    const cover = {
      title: 'abstractions.out.print-title',
      titleValues: { name },
      ...span,
      books,
      bookEnd: await endOfBook(db),
    }
    return page({ request, reply }, 'paper/whole-book/cover', cover)
  })

  app.get<OfBook>('/book/print/:book', guard, async (request, reply) => {
    const { t } = request.visit.locale
    const book = found(PRINTED_BOOKS.find((one) => one.name === request.params.book))
    const { span } = await season(request.visit.today)
    const rows = await book.rows(db, request.visit, span)
    const parts = Math.max(1, Math.ceil(rows.length / LINES_OF_A_PART))
    const part = Math.min(parts, Math.max(1, Math.floor(Number(request.query.part)) || 1))
    return page({ request, reply }, 'paper/whole-book/print', {
      ...{ title: book.title, ...span, book: book.name, part, parts, lines: rows.length },
      columns: book.heads.map((head) => t(head)),
      rows: rows.slice((part - 1) * LINES_OF_A_PART, part * LINES_OF_A_PART),
    })
  })

  async function season(today: string): Promise<{ name: string; span: Span }> {
    const { name, seasonStartOn, seasonEndOn } = found(await currentGroup(db))
    return { name, span: { fromOn: seasonStartOn, toOn: [seasonEndOn, today].toSorted()[0]! } }
  }
}
