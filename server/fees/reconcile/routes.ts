import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { write } from '../../book/pen.ts'
import type { Parts } from '../../parts.ts'
import { currentGroup } from '../../people/group/store.ts'
import { emptyForm, type Filled, readForm } from '../../web/forms/forms.ts'
import { found } from '../../web/pages/errors.ts'
import { formPage } from '../../web/pages/form-page.ts'
import { may } from '../../web/pages/guard.ts'
import { page } from '../../web/pages/page.ts'
import { listClosings } from '../closing/store.ts'
import { PERIODS, WordsForm } from '../treasury-forms.ts'
import { periodBooks } from './books.ts'
import { noteFinding } from './finding-store.ts'
import { periodShown } from './pages.ts'
import { neighbourPeriods, type Period, periodAsked } from './period.ts'

type Asked = { Querystring: { period?: string; on?: string; finding?: string } }

/** Water and money of a week, a month or the season in one look, and words under what does not agree. */
export function addReconciliationRoutes(app: FastifyInstance, { db, now }: Parts): void {
  app.get<Asked>('/reconciliation', { preHandler: may('money.see-all') }, async (request, reply) => {
    const group = found(await currentGroup(db))
    const { today } = request.visit
    const period = periodAsked(group, request.query, today)
    const shown = periodShown(request, await periodBooks(db, { ...period, today: request.visit.today }))
    const { before, after } = neighbourPeriods(group, period, today)
    const on = request.query.on ?? today
    return page({ request, reply }, 'fees/reconcile/page', {
      title: 'money.reconciliation-title',
      period,
      shown,
      kinds: PERIODS.map((name) => ({
        name,
        href: `/money/reconciliation?period=${name}&on=${on}`,
        here: name === period.name,
      })),
      before: before && hrefOf(before),
      after: after && hrefOf(after),
      here: hrefOf(period),
      ended: period.to <= today,
      closing: (await listClosings(db)).find(({ from, to }) => from === period.from && to === period.to)?.id ?? null,
    })
  })

  app.get<Asked>('/findings/new', { preHandler: may('payment.record') }, async (request, reply) =>
    showNote(request, reply, emptyForm()),
  )

  app.post<Asked>('/findings', { preHandler: may('payment.record') }, async (request, reply) => {
    const form = readForm(WordsForm, request.body)
    if (!form.ok) return showNote(request, reply, form)
    const { period, finding } = await findingAsked(request)
    return write(
      { db, request, reply, at: now() },
      (pen) => noteFinding(pen, { finding: finding.key, words: form.data.words }),
      () => hrefOf(period),
    )
  })

  /** The matter that the address names, as it stands now; one that has closed meanwhile is not there any more. */
  async function findingAsked(request: FastifyRequest) {
    const query = request.query as Asked['Querystring']
    const period = periodAsked(found(await currentGroup(db)), query, request.visit.today)
    const shown = periodShown(request, await periodBooks(db, { ...period, today: request.visit.today }))
    const open = [...shown.findings.filter(({ byNote }) => byNote), ...shown.cannotSay]
    return { period, finding: found(open.find(({ key }) => key === query.finding)) }
  }

  async function showNote(request: FastifyRequest, reply: FastifyReply, filled: Filled) {
    const { period, finding } = await findingAsked(request)
    const query = `period=${period.name}&on=${period.from}&finding=${encodeURIComponent(finding.key)}`
    return formPage(
      { request, reply },
      {
        title: 'money.explain.title',
        titleValues: { what: finding.sentence },
        form: WordsForm,
        filled,
        action: `/money/findings?${query}`,
        intro: ['money.explain.intro'],
        back: hrefOf(period),
      },
    )
  }
}

export function hrefOf({ name, from }: Period): string {
  return `/money/reconciliation?period=${name}&on=${from}`
}
