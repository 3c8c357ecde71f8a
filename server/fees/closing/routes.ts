import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { may as mayDo } from '../../../domain/people/permissions.ts'
import { approve } from '../../book/approvals.ts'
import { write } from '../../book/pen.ts'
import { endOfBook } from '../../book/verify.ts'
import type { Parts } from '../../parts.ts'
import { currentGroup } from '../../people/group/store.ts'
import { found, PageError } from '../../web/pages/errors.ts'
import { may } from '../../web/pages/guard.ts'
import { page } from '../../web/pages/page.ts'
import { fewPayers } from '../few-payers.ts'
import { periodBooks } from '../reconcile/books.ts'
import { periodShown } from '../reconcile/pages.ts'
import { periodAsked } from '../reconcile/period.ts'
import { hrefOf } from '../reconcile/routes.ts'
import { closedUntil } from './dates.ts'
import { type Closing, closePeriod, listClosings } from './store.ts'

type Asked = { Querystring: { period?: string; on?: string } }
type WithId = { Params: { id: string } }

/** Closing a period: one person closes it with its figures, another puts the second name under it. */
export function addClosingRoutes(app: FastifyInstance, { db, now }: Parts): void {
  app.get('/closings', { preHandler: may('closing.see') }, async (request, reply) => {
    const closings = (await listClosings(db)).toReversed().map((closing) => headOf(request, closing))
    return page({ request, reply }, 'fees/closing/list', { title: 'money.closings-title', closings })
  })

  app.get<Asked>('/closings/new', { preHandler: may('payment.record') }, async (request, reply) =>
    showNew(request, reply),
  )

  app.post<Asked>('/closings', { preHandler: may('payment.record') }, async (request, reply) => {
    const period = await periodFor(request)
    const shown = periodShown(request, await periodBooks(db, { ...period, today: request.visit.today }))
    if (await hindrance(request, period, shown.open)) return showNew(request, reply.code(409))
    return write(
      { db, request, reply, at: now() },
      async (pen) => closePeriod(pen, await periodBooks(pen.trx, { ...period, today: request.visit.today })),
      (id) => `/money/closings/${id}`,
    )
  })

  app.get<WithId>('/closings/:id', { preHandler: may('closing.see') }, async (request, reply) => {
    const closing = await closingOf(request)
    return page({ request, reply }, 'fees/closing/page', {
      title: 'money.closing.heading',
      titleValues: { from: request.visit.format.date(closing.from), to: request.visit.format.date(closing.to) },
      closing: headOf(request, closing),
      // A sum over few payers would tell each one's own to those who do not keep the money.
      few: !mayDo({ roles: request.person!.roles, permission: 'money.see-all' }) && (await fewPayers(db, closing)),
      shown: periodShown(request, closing.books),
      own: closing.writerId === request.person!.id,
      bookEnd: await endOfBook(db),
    })
  })

  app.post<WithId>('/closings/:id/approval', { preHandler: may('closing.approve') }, async (request, reply) => {
    const closing = await closingOf(request)
    if (closing.approval) throw new PageError(409, 'error.page-409')
    if (closing.writerId === request.person!.id) throw new PageError(409, 'error.approval-by-the-writer')
    return write(
      { db, request, reply, at: now() },
      (pen) => approve(pen, closing.id),
      () => `/money/closings/${closing.id}`,
    )
  })

  async function closingOf(request: FastifyRequest): Promise<Closing> {
    const { id } = request.params as { id: string }
    return found((await listClosings(db)).find((closing) => closing.id === id))
  }

  async function periodFor(request: FastifyRequest) {
    return periodAsked(found(await currentGroup(db)), request.query as Asked['Querystring'], request.visit.today)
  }

  /** Why the period cannot be closed now; null when nothing is in the way. */
  async function hindrance(request: FastifyRequest, period: { from: string; to: string }, open: number) {
    const { today } = request.visit
    if (period.to > today) return 'money.closing.not-ended'
    const closed = await closedUntil(db)
    if (closed !== null && period.to <= closed) return 'money.closing.closed'
    if ((await listClosings(db)).some(({ from, to }) => from === period.from && to === period.to)) {
      return 'money.closing.waits'
    }
    return open > 0 ? 'money.closing.open' : null
  }

  async function showNew(request: FastifyRequest, reply: FastifyReply) {
    const period = await periodFor(request)
    const shown = periodShown(request, await periodBooks(db, { ...period, today: request.visit.today }))
    return page({ request, reply }, 'fees/closing/new', {
      title: 'money.closing.title',
      period,
      shown,
      hindrance: await hindrance(request, period, shown.open),
      here: hrefOf(period),
    })
  }
}

function headOf(request: FastifyRequest, closing: Closing) {
  const { format, locale } = request.visit
  const signed = (name: string, at: string) => locale.t('money.signed', { name, when: format.instant(at) })
  return {
    id: closing.id,
    span: locale.t('money.span', { from: format.date(closing.from), to: format.date(closing.to) }),
    first: signed(closing.writerName, closing.writtenAt),
    second: closing.approval && signed(closing.approval.approverName, closing.approval.approvedAt),
  }
}
