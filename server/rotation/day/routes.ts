import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { addDays, isCalendarDate } from '../../../domain/calendar.ts'
import { may as mayDo } from '../../../domain/people/permissions.ts'
import { standsOn } from '../../../domain/works/fault.ts'
import { write } from '../../book/pen.ts'
import type { Database } from '../../database/connection.ts'
import type { Parts } from '../../parts.ts'
import { currentGroup } from '../../people/group/store.ts'
import { listPlots } from '../../people/plot/store.ts'
import { emptyForm, type Filled, readForm, withError } from '../../web/forms/forms.ts'
import { found, PageError } from '../../web/pages/errors.ts'
import { may } from '../../web/pages/guard.ts'
import { page } from '../../web/pages/page.ts'
import { type Fault, stoppedByFaults } from '../../works/fault/store.ts'
import { callableFrom, clockMinute, hasBegun, localClock } from '../clock.ts'
import { type Unsettled, unsettledByDay } from '../outcome/unsettled.ts'
import type { BookedTurn } from '../published/turn-store.ts'
import { dayFills } from './fills.ts'
import { DayChangeForm } from './forms.ts'
import { type ShownDay, shownDay } from './lines.ts'
import { type MoveUpOffer, moveUpOffers } from './move-up.ts'
import { reshared } from './reshare.ts'
import { addDayChange, closeDaySheet, type DaySheet } from './store.ts'

type WithDay = { Params: { on: string } }

/** The day as it comes: what became of each turn, the rest shared anew when sun or pump fail, and the closing of the sheet. */
export function addDayRoutes(app: FastifyInstance, { db, now }: Parts): void {
  app.get('/days', { preHandler: may('turns.see') }, async (request, reply) =>
    reply.redirect(`/turns/days/${request.visit.today}`, 303),
  )

  app.get<WithDay>('/days/:on', { preHandler: may('turns.see') }, async (request, reply) =>
    show(request, reply, await dayOr404(request), { filled: emptyForm() }),
  )

  app.post<WithDay>('/days/:on/changes', { preHandler: may('abstraction.log') }, async (request, reply) => {
    const group = found(await currentGroup(db))
    const day = await dayOr404(request)
    const { week } = day
    if (!week) throw new PageError(409, 'day.no-published-week')
    const form = readForm(DayChangeForm, request.body)
    if (!form.ok) return show(request, reply, day, { filled: form })
    const { pumpId, kind, since, until } = form.data
    const pump = week.inputs.pumps.find((one) => one.id === pumpId)
    if (!pump) return show(request, reply, day, { filled: withError(form, 'pumpId', 'error.choose') })
    const fromMinute = since ? clockMinute(since) : startOfChange(request, day.on)
    const untilMinute = kind === 'down' && until ? clockMinute(until) : null
    if (untilMinute !== null && untilMinute <= fromMinute) {
      return show(request, reply, day, { filled: withError(form, 'until', 'day.until-before-since') })
    }
    const change = { weekStartOn: day.weekStartOn, on: day.on, pumpId, kind, fromMinute, untilMinute }
    const { today } = request.visit
    const callableFromMinute = callableFrom({ on: day.on, today, now: now(), timeZone: group.timeZone })
    const { turns, problems } = await reshared(db, { group, day: { ...day, week }, change, callableFromMinute })
    if (problems.length > 0) {
      const code = problems.map((one) => one.code).join(', ')
      return show(request, reply, day, { filled: form, problem: 'day.reshare-refused', problemValues: { code } })
    }
    const { locale, format } = request.visit
    const clock = format.clock(fromMinute)
    const reason = locale.t(`day.reason-${kind}`, { number: pump.number, clock })
    return write(
      { db, request, reply, at: now() },
      (pen) => addDayChange(pen, change, { reason, turns }),
      () => `/turns/days/${day.on}`,
    )
  })

  app.post<WithDay>('/days/:on/closing', { preHandler: may('abstraction.log') }, async (request, reply) => {
    const day = await dayOr404(request)
    if (day.on > request.visit.today) throw new PageError(409, 'day.not-yet')
    if (!day.totals.isClosed) return show(request, reply, day, { filled: emptyForm(), problem: 'day.still-open' })
    return write(
      { db, request, reply, at: now() },
      (pen) => closeDaySheet(pen, day.on, foundOn(day)),
      () => `/turns/days/${day.on}`,
    )
  })

  async function dayOr404(request: FastifyRequest): Promise<ShownDay> {
    const { on } = request.params as { on: string }
    found(isCalendarDate(on) || undefined)
    return shownDay(db, found(await currentGroup(db)), on)
  }

  /** Nobody typed a time: today it is now, on another day the whole day. */
  function startOfChange(request: FastifyRequest, on: string): number {
    if (on !== request.visit.today) return 0
    return clockMinute(localClock(now(), request.visit.group?.timeZone ?? 'UTC'))
  }

  async function show(request: FastifyRequest, reply: FastifyReply, day: ShownDay, shown: Shown) {
    const plots = await listPlots(db, day.on)
    const own = plots.filter((plot) => plot.holders.some((holder) => holder.id === request.person?.id))
    const { today } = request.visit
    const group = found(await currentGroup(db))
    const fromMinute = callableFrom({ on: day.on, today, now: now(), timeZone: group?.timeZone ?? 'UTC' })
    const mayCall =
      group && day.on >= today && mayDo({ roles: request.person?.roles ?? [], permission: 'abstraction.log' })
    const offers = mayCall ? await moveUpOffers(db, { group, day, fromMinute }) : []
    const minute = clockMinute(localClock(now(), group.timeZone))
    const turns = day.lines.map((line) => line.turn)
    const unsettled = await unsettledByDay(db, turns, { today, minute })
    const clock = { today, now: now(), timeZone: group.timeZone }
    const beside = {
      isBegun: (turn: BookedTurn) => hasBegun(turn, clock),
      offers,
      unsettled,
      fills: await dayFills(db, { group, day }),
      stopped: await stoppedOn(db, day.on),
    }
    return showDay(request, reply, day, { ...shown, ownPlotIds: own.map((plot) => plot.id), ...beside })
  }
}

async function stoppedOn(db: Database, on: string): Promise<Fault[]> {
  return (await stoppedByFaults(db)).filter((one) => standsOn(one, on)).map(({ fault }) => fault)
}

/** What a sheet is closed with: its sums, and what was given beside it. */
function foundOn({ totals, offSheet }: ShownDay): DaySheet['found'] {
  return { totals: { ...totals.byState, listed: totals.listed }, offSheet: offSheet.map((draw) => draw.id) }
}

interface Shown {
  filled: Filled
  problem?: string
  problemValues?: Record<string, string | number>
}

interface Beside {
  isBegun: (turn: BookedTurn) => boolean
  ownPlotIds: string[]
  offers: MoveUpOffer[]
  unsettled: Unsettled[]
  fills: Awaited<ReturnType<typeof dayFills>>
  /** Faults that keep a pump or an outlet from running on this day. */
  stopped: Fault[]
}

function showDay(
  request: FastifyRequest,
  reply: FastifyReply,
  day: ShownDay,
  { filled, problem, problemValues, ownPlotIds, ...beside }: Shown & Beside,
) {
  if (problem) reply.code(409)
  if (Object.keys(filled.errors).length > 0) reply.code(422)
  const { format, today } = request.visit
  const pumps = day.week?.inputs.pumps ?? []
  return page({ request, reply }, 'rotation/day/page', {
    title: day.on === today ? 'day.title-today' : 'day.title',
    titleValues: { day: format.weekday(day.on) },
    day,
    problem: problem ?? null,
    problemValues: problemValues ?? { count: day.totals.byState.open.count },
    ownPlotIds,
    ...beside,
    differs: day.sheet !== null && JSON.stringify(day.sheet.found) !== JSON.stringify(foundOn(day)),
    before: addDays(day.on, -1),
    after: addDays(day.on, 1),
    form: DayChangeForm,
    filled: pumps.length === 1 && !filled.values.pumpId ? withPump(filled, pumps[0]!.id) : filled,
    options: { pumpId: pumps.map((pump) => ({ value: pump.id, label: `${pump.number} ${pump.name}` })) },
    action: `/turns/days/${day.on}/changes`,
    submit: 'day.share-anew',
  })
}

function withPump(filled: Filled, pumpId: string): Filled {
  return { ...filled, values: { ...filled.values, pumpId } }
}
