import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { addDays, datesFromTo, isCalendarDate, weekStartOf } from '../../../domain/calendar.ts'
import type { Sky } from '../../../domain/rotation/pump-flow/day.ts'
import type { PumpFacts } from '../../../domain/rotation/week/turn-facts.ts'
import { sum } from '../../../domain/sum.ts'
import { write } from '../../book/pen.ts'
import { inForce } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'
import type { Parts } from '../../parts.ts'
import { currentGroup } from '../../people/group/store.ts'
import { select } from '../../web/forms/fields.ts'
import { defineForm, emptyForm, type Filled, readForm, withError } from '../../web/forms/forms.ts'
import { found, PageError } from '../../web/pages/errors.ts'
import { formPage } from '../../web/pages/form-page.ts'
import { may } from '../../web/pages/guard.ts'
import { page } from '../../web/pages/page.ts'
import { workingPage } from '../../web/pages/working.ts'
import { listPumps, type Pump } from '../../works/pump/store.ts'
import { findPublishedWeek } from '../published/store.ts'
import { shownWeek } from '../week/view.ts'
import { weekValues } from '../week/words.ts'
import { MountForm, PumpDayForm, SKIES } from './forms.ts'
import { setWeekSkies, weekSkies } from './sky-store.ts'
import { addPumpDaySky, pumpLogDays, pumpMounts, setPumpMount } from './store.ts'

type WithPump = { Params: { id: string } }
type WithWeek = { Params: { start: string } }

/** Each pump's panels and days, and the sky that the committee expects for a week. */
export function addPumpRoutes(app: FastifyInstance, { db, now }: Parts): void {
  const log = { preHandler: may('abstraction.log') }

  app.get<WithPump>('/pumps/:id/mounts/new', log, async (request, reply) =>
    showMount(request, reply, await pumpOr404(request), emptyForm({ fromOn: request.visit.today })),
  )

  app.post<WithPump>('/pumps/:id/mounts', log, async (request, reply) => {
    const pump = await pumpOr404(request)
    const form = readForm(MountForm, request.body)
    if (!form.ok) return showMount(request, reply, pump, form)
    return write(
      { db, request, reply, at: now() },
      (pen) => setPumpMount(pen, { pumpId: pump.id, ...form.data }),
      () => '/turns/turn-grounds',
    )
  })

  app.get<WithPump>('/pumps/:id/days/new', log, async (request, reply) =>
    showDay(request, reply, await pumpOr404(request), emptyForm({ onDate: request.visit.today })),
  )

  app.post<WithPump>('/pumps/:id/days', log, async (request, reply) => {
    const pump = await pumpOr404(request)
    const form = readForm(PumpDayForm, request.body)
    if (!form.ok) return showDay(request, reply, pump, form)
    if (form.data.onDate > request.visit.today) {
      return showDay(request, reply, pump, withError(form, 'onDate', 'turns.day-to-come'))
    }
    return write(
      { db, request, reply, at: now() },
      (pen) => addPumpDaySky(pen, { pumpId: pump.id, ...form.data }),
      () => '/turns/turn-grounds',
    )
  })

  app.get<WithWeek>('/weeks/:start/sky/new', { preHandler: may('week.publish') }, async (request, reply) => {
    const days = await draftDays(request)
    const skies = await weekSkies(db, days[0]!)
    return showSky(request, reply, days, emptyForm(Object.fromEntries(days.map((day) => [day, skies[day] ?? 'clear']))))
  })

  app.post<WithWeek>('/weeks/:start/skies', { preHandler: may('week.publish') }, async (request, reply) => {
    const days = await draftDays(request)
    const form = readForm(skyForm(days), request.body)
    if (!form.ok) return showSky(request, reply, days, form)
    return write(
      { db, request, reply, at: now() },
      (pen) => setWeekSkies(pen, days[0]!, form.data as Record<string, Sky>),
      () => `/turns/weeks/${days[0]}`,
    )
  })

  app.get<{ Params: { start: string; pumpId: string } }>(
    '/weeks/:start/pumps/:pumpId',
    { preHandler: may('turns.see') },
    async (request, reply) => {
      const { start, pumpId } = request.params
      found(isCalendarDate(start) || undefined)
      const group = found(await currentGroup(db))
      const week = found((await shownWeek(db, { group, weekStartOn: start, today: request.visit.today })) ?? undefined)
      const pump = found(week.inputs.pumps.find((one) => one.id === pumpId))
      const facts = found(week.inputs.turnFacts?.pumps.find((one) => one.pumpId === pumpId))
      const total = sum(Object.values(facts.dayM3ByDay))
      const {
        locale: { t },
        format,
      } = request.visit
      return workingPage(
        { request, reply },
        {
          title: 'turns.flow-title',
          titleValues: { number: pump.number, name: pump.name, ...weekValues(request, start) },
          result: t('turns.flow-result', { volume: format.volume(total) }),
          doubt: t('turns.flow-doubt'),
          lines: flowLines(request, facts, pump.flowM3PerHByDay),
          equation: t('turns.flow-equation'),
          source: t('turns.flow-source'),
          back: `/turns/weeks/${start}`,
        },
      )
    },
  )

  async function pumpOr404(request: FastifyRequest): Promise<Pump> {
    const { id } = request.params as { id: string }
    return found((await listPumps(db, request.visit.today)).find((pump) => pump.id === id))
  }

  /** The days of a week that is still a draft. */
  async function draftDays(request: FastifyRequest): Promise<string[]> {
    const { start } = request.params as { start: string }
    const group = found(await currentGroup(db))
    found((isCalendarDate(start) && weekStartOf(start, group.firstWeekday) === start) || undefined)
    if (await findPublishedWeek(db, start)) throw new PageError(409, 'rotation.already-published')
    return datesFromTo(start, addDays(start, 6))
  }
}

/** How each pump stands today, for the page of what the turns go by. */
export async function pumpLines(db: Database, today: string) {
  const mounts = await pumpMounts(db)
  const lines = []
  for (const pump of await listPumps(db, today)) {
    const mount = inForce(
      mounts.filter((row) => row.pumpId === pump.id),
      today,
    )
    const days = (await pumpLogDays(db, pump)).filter((day) => day.wholeDay)
    const counts = SKIES.map((sky) => ({ sky, days: days.filter((day) => day.sky === sky).length }))
    lines.push({ pump, mount: mount?.mount ?? 'fixed', fromOn: mount?.from_on ?? null, counts })
  }
  return lines
}

function flowLines({ visit }: FastifyRequest, facts: PumpFacts, flowM3PerHByDay: Record<string, number[]>) {
  const {
    locale: { t },
    format,
  } = visit
  return Object.entries(facts.dayM3ByDay).map(([day, volumeM3]) => {
    const sky = facts.skyByDay[day]!
    const days = facts.loggedDays[sky] ?? 0
    const basis = days > 0 ? t('turns.flow-own-log', { days }) : t('turns.flow-described')
    const hours = flowM3PerHByDay[day]!.flatMap((flow, hour) => (flow > 0 ? [`${hour}: ${format.one(flow)}`] : []))
    return {
      label: `${format.weekday(day)}: ${t(`turns.sky.${sky}`)}`,
      value: `${format.volume(volumeM3)} ${t('layout.unit-m3')}`,
      source: `${t(`turns.mount.mount.${facts.mount}`)}; ${basis}. ${t('turns.flow-hours', { hours: hours.join(', ') })}`,
    }
  })
}

function skyForm(days: readonly string[]) {
  return defineForm('turns.sky', Object.fromEntries(days.map((day) => [day, select(SKIES)])))
}

function showSky(request: FastifyRequest, reply: FastifyReply, days: string[], filled: Filled) {
  if (Object.keys(filled.errors).length > 0) reply.code(422)
  const titleValues = weekValues(request, days[0]!)
  return page({ request, reply }, 'rotation/sky', { title: 'turns.sky-title', titleValues, days, filled, skies: SKIES })
}

function showMount(request: FastifyRequest, reply: FastifyReply, pump: Pump, filled: Filled) {
  return formPage(
    { request, reply },
    {
      title: 'turns.mount-title',
      titleValues: { number: pump.number, name: pump.name },
      form: MountForm,
      filled,
      action: `/turns/pumps/${pump.id}/mounts`,
      intro: ['turns.mount-intro'],
      cautions: ['people.pump.caution-electric'],
      back: '/turns/turn-grounds',
    },
  )
}

function showDay(request: FastifyRequest, reply: FastifyReply, pump: Pump, filled: Filled) {
  return formPage(
    { request, reply },
    {
      title: 'turns.pump-day-title',
      titleValues: { number: pump.number, name: pump.name },
      form: PumpDayForm,
      filled,
      action: `/turns/pumps/${pump.id}/days`,
      intro: ['turns.pump-day-intro'],
      back: '/turns/turn-grounds',
    },
  )
}
