import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { addDays, weekEndOn, weekStartOf } from '../../../domain/calendar.ts'
import { may as mayDo } from '../../../domain/people/permissions.ts'
import { write } from '../../book/pen.ts'
import type { Parts } from '../../parts.ts'
import { currentGroup } from '../../people/group/store.ts'
import { listPlots, type Plot } from '../../people/plot/store.ts'
import { emptyForm, type Filled, readForm, withError } from '../../web/forms/forms.ts'
import { found, PageError } from '../../web/pages/errors.ts'
import { formPage } from '../../web/pages/form-page.ts'
import { may } from '../../web/pages/guard.ts'
import { page } from '../../web/pages/page.ts'
import { findPublishedWeek } from '../published/store.ts'
import { requestDetails, setUrgentQuota, urgentQuotaOn } from './detail-store.ts'
import { RequestForm, UrgentQuotaForm } from './forms.ts'
import { requestOfInput } from './input.ts'
import { addRequest, endStandingRequest, requestsFor, type WaterRequest } from './store.ts'

/** Anyone may ask for any plot; the book keeps who asked. */
export function addRequestRoutes(app: FastifyInstance, { db, now }: Parts): void {
  app.get('/requests', { preHandler: may('turns.see') }, async (request, reply) => {
    const plots = await listPlots(db, request.visit.today)
    const weeks = []
    for (const start of await nearWeeks(request)) {
      const asked = await requestsFor(db, start)
      // The week after next stands here once somebody has asked for it.
      if (weeks.length === 2 && asked.length === 0) continue
      const details = await requestDetails(
        db,
        asked.map((one) => one.id),
      )
      const rows = asked.flatMap((one) => {
        const plot = plots.find((candidate) => candidate.id === one.plotId)
        return plot ? [{ ...one, plot, ...details.get(one.id)!, mayEnd: mayEnd(request, one, plot) }] : []
      })
      weeks.push({ start, end: weekEndOn(start), requests: rows.sort(byUrgency) })
    }
    const quota = await urgentQuotaOn(db, request.visit.today)
    return page({ request, reply }, 'rotation/requests', { title: 'rotation.request.list-title', weeks, quota })
  })

  app.get<{ Querystring: { plotId?: string } }>(
    '/requests/new',
    { preHandler: may('water.request') },
    async (request, reply) => {
      const [current] = await nearWeeks(request)
      const next = (await openWeeks(request)).find((start) => start > current)
      const own = await ownPlot(request)
      return show(request, reply, emptyForm({ plotId: request.query.plotId ?? own ?? '', weekStartOn: next ?? '' }))
    },
  )

  app.post('/requests', { preHandler: may('water.request') }, async (request, reply) => {
    const form = readForm(RequestForm, request.body)
    if (!form.ok) return show(request, reply, form)
    const { weekStartOn } = form.data
    if (!(await openWeeks(request)).includes(weekStartOn)) {
      const isLate = (await findPublishedWeek(db, weekStartOn)) !== undefined
      return show(request, reply, withError(form, 'weekStartOn', isLate ? 'rotation.request.too-late' : 'error.choose'))
    }
    const read = await requestOfInput(db, form.data, { today: request.visit.today })
    if ('field' in read) return show(request, reply, withError(form, read.field, read.key, read.values))
    const { plot, asked } = read
    const holds = plot.holders.some((holder) => holder.id === request.person?.id)
    const forPersonId = holds ? null : (plot.holders[0]?.id ?? null)
    return write(
      { db, request, reply, at: now() },
      (pen) => addRequest(pen, { ...asked, forPersonId }),
      () => '/turns/requests',
    )
  })

  app.post<{ Params: { id: string } }>(
    '/requests/:id/end',
    { preHandler: may('water.request') },
    async (request, reply) => {
      const { today, locale } = request.visit
      const [current] = await nearWeeks(request)
      const asked = (await Promise.all((await nearWeeks(request)).map((start) => requestsFor(db, start)))).flat()
      const own = found(asked.find((one) => one.standing && one.id === request.params.id))
      const plot = found((await listPlots(db, today)).find((one) => one.id === own.plotId))
      if (!mayEnd(request, own, plot)) throw new PageError(403, 'error.page-403')
      const untilOn =
        own.weekStartOn === current && !(await findPublishedWeek(db, current)) ? addDays(current, -1) : today
      return write(
        { db, request, reply, at: now() },
        (pen) => endStandingRequest(pen, own.id, untilOn, locale.t('rotation.request.ended')),
        () => '/turns/requests',
      )
    },
  )

  app.get('/urgent-quotas/new', { preHandler: may('rule.set') }, async (request, reply) => {
    const { today } = request.visit
    const values = { fromOn: today, perMonth: String(await urgentQuotaOn(db, today)) }
    return showQuota(request, reply, emptyForm(values))
  })

  app.post('/urgent-quotas', { preHandler: may('rule.set') }, async (request, reply) => {
    const form = readForm(UrgentQuotaForm, request.body)
    if (!form.ok) return showQuota(request, reply, form)
    if (form.data.fromOn < request.visit.today) {
      return showQuota(request, reply, withError(form, 'fromOn', 'rotation.urgent-quota.past'))
    }
    return write(
      { db, request, reply, at: now() },
      (pen) => setUrgentQuota(pen, form.data),
      () => '/turns/requests',
    )
  })

  /** The running week and the two after it. */
  async function nearWeeks(request: FastifyRequest): Promise<[string, string, string]> {
    const group = found(await currentGroup(db))
    const current = weekStartOf(request.visit.today, group.firstWeekday)
    return [current, addDays(current, 7), addDays(current, 14)]
  }

  /** The weeks that are not agreed yet. */
  async function openWeeks(request: FastifyRequest): Promise<string[]> {
    const open: string[] = []
    for (const start of await nearWeeks(request)) if (!(await findPublishedWeek(db, start))) open.push(start)
    return open
  }

  async function ownPlot(request: FastifyRequest): Promise<string | undefined> {
    const plots = await listPlots(db, request.visit.today)
    return plots.find((plot) => plot.holders.some((holder) => holder.id === request.person?.id))?.id
  }

  async function show(request: FastifyRequest, reply: FastifyReply, filled: Filled) {
    const { format, today, locale } = request.visit
    const plots = await listPlots(db, today)
    const names = (plot: (typeof plots)[number]) => plot.holders.map((holder) => holder.name).join(', ')
    const weeks = await openWeeks(request)
    return formPage(
      { request, reply },
      {
        title: 'rotation.request.title',
        form: RequestForm,
        filled,
        options: {
          plotId: plots.map((plot) => ({ value: plot.id, label: `${plot.number} ${plot.name} (${names(plot)})` })),
          weekStartOn: weeks.map((start) => ({
            value: start,
            label: locale.t('rotation.week-of', { start: format.date(start), end: format.date(weekEndOn(start)) }),
          })),
        },
        action: '/turns/requests',
        intro: ['rotation.request.intro'],
        back: '/turns/requests',
      },
    )
  }
}

/** Urgent ones come first on the page, never first in the water. */
function byUrgency(a: Listed, b: Listed): number {
  return Number(b.urgent !== null) - Number(a.urgent !== null) || a.plot.number - b.plot.number
}

interface Listed {
  urgent: string | null
  plot: { number: number }
}

function showQuota(request: FastifyRequest, reply: FastifyReply, filled: Filled) {
  return formPage(
    { request, reply },
    {
      title: 'rotation.urgent-quota.title',
      form: UrgentQuotaForm,
      filled,
      action: '/turns/urgent-quotas',
      intro: ['rotation.urgent-quota.intro'],
      back: '/turns/requests',
    },
  )
}

/** A standing request is ended by whoever asked, by a holder of the plot, or by whoever keeps the log. */
function mayEnd({ person }: FastifyRequest, { askedById }: WaterRequest, { holders }: Plot): boolean {
  const isOwn = askedById === person?.id || holders.some((holder) => holder.id === person?.id)
  return isOwn || mayDo({ roles: person?.roles ?? [], permission: 'abstraction.log' })
}
