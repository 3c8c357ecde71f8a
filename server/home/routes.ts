import type { FastifyInstance } from 'fastify'
import { addDays, weekStartOf } from '../../domain/calendar.ts'
import type { Group } from '../../domain/people/group.ts'
import { settingsToCome } from '../book/to-come.ts'
import { plotsWithOverdueCrops } from '../crops/plan/overdue-store.ts'
import type { Database } from '../database/connection.ts'
import type { Parts } from '../parts.ts'
import { bookIsEmpty, currentGroup } from '../people/group/store.ts'
import { listPlots, type Plot } from '../people/plot/store.ts'
import { alarmLines } from '../rotation/alarm/state.ts'
import { findPublishedWeek } from '../rotation/published/store.ts'
import { bookedTurns } from '../rotation/published/turn-store.ts'
import { waterStates } from '../water/storage/state.ts'
import { deskOf, pagesOf } from '../web/pages/desk.ts'
import { found } from '../web/pages/errors.ts'
import { page, type SignedIn } from '../web/pages/page.ts'
import { waitingFor } from './waiting.ts'
import { addWithholdingPages } from './withholding-routes.ts'

/** The steps of a new book, in the order in which each needs the one before, and where each is done. */
const STEPS = [
  { label: 'home.step-weir', table: 'weir', href: '/water/weirs/new' },
  { label: 'home.step-pump', table: 'pump', href: '/works/pumps/new' },
  { label: 'home.step-outlet', table: 'outlet', href: '/works/outlets/new' },
  { label: 'home.step-person', table: 'person', href: '/people/persons/new', atLeast: 2 },
  { label: 'home.step-plot', table: 'plot', href: '/people/plots/new' },
  { label: 'home.step-drinkers', table: 'waterUser', href: '/water/reserve/new' },
  { label: 'home.step-late-rain', table: 'waterSetting', href: '/water/water-settings/new' },
  { label: 'home.step-level', table: 'levelReading', href: '/water/levels/new' },
  { label: 'home.step-crop', table: 'cropPlan', href: '/crops/crop-plans/new' },
  { label: 'home.step-weather', table: 'weatherDay', href: '/crops/weather/upload' },
  { label: 'home.step-rule', table: 'sharingRule', href: '/turns/sharing-rule/new' },
  { label: 'home.step-week', table: 'publishedWeek', href: '/turns/weeks' },
  { label: 'home.step-tariff', table: 'tariff', href: '/money/tariffs' },
] as const

/** A level older than this no longer carries next week's plan. */
const READ_EVERY_DAYS = 7

export function addHomeRoutes(app: FastifyInstance, parts: Parts): void {
  addWithholdingPages(pagesOf(app, parts))
  const { db } = parts
  app.get('/', async (request, reply) => {
    if (await bookIsEmpty(db))
      return page({ request, reply }, 'people/first-run/first', { title: 'people.first.title' })
    if (!request.person) return reply.redirect('/session/new', 303)
    const { today } = request.visit
    const group = found(await currentGroup(db))
    const steps = await stepsOf(db)
    const turns = await turnsFrom(db, group, today)
    const ownPlots = await plotsOf(db, request.person, today)
    const own = ownPlots.map((plot) => plot.id)
    const desk = deskOf(parts, request, reply)
    return page(desk, 'home', {
      title: 'home.title',
      alarms: await alarmLines(desk),
      steps,
      open: steps.filter((step) => !step.done).length,
      ownTurns: turns.filter((turn) => own.includes(turn.plotId)),
      ownPlots,
      todaysTurns: turns.filter((turn) => turn.on === today).length,
      asked: await waitingFor(desk),
      toDo: await committeeWork(db, group, today),
      toCome: desk.may('week.publish') ? await settingsToCome(db, today) : [],
    })
  })
}

async function stepsOf(db: Database) {
  const steps = []
  for (const step of STEPS) {
    const row = await db
      .selectFrom(step.table)
      .select((eb) => eb.fn.countAll<number>().as('count'))
      .executeTakeFirst()
    steps.push({ ...step, done: (row?.count ?? 0) >= ('atLeast' in step ? step.atLeast : 1) })
  }
  return steps
}

/** Published turns of this week and the next, from today on. */
async function turnsFrom(db: Database, group: Group, today: string) {
  const current = weekStartOf(today, group.firstWeekday)
  const turns = []
  for (const start of [current, addDays(current, 7)]) {
    const week = await bookedTurns(db, start)
    if (week)
      turns.push(...week.turns.filter((turn) => !turn.droppedBy).map((turn) => ({ ...turn, weekStartOn: start })))
  }
  return turns.filter((turn) => turn.on >= today)
}

async function plotsOf(db: Database, person: SignedIn, today: string): Promise<Plot[]> {
  const plots = await listPlots(db, today)
  return plots.filter((plot) => plot.holders.some((holder) => holder.id === person.id))
}

/** What the committee's evening still needs: fresh levels, a rest of the pump now and then, the coming week published, and harvests written in. */
async function committeeWork(db: Database, group: Group, today: string) {
  const states = await waterStates(db, { on: today })
  const stale = states.filter(({ ageDays }) => ageDays === null || ageDays > READ_EVERY_DAYS)
  const rests = states.flatMap(({ weir, restDue }) => (restDue ? [{ weir, restDue }] : []))
  const current = weekStartOf(today, group.firstWeekday)
  const unpublished = []
  for (const start of [current, addDays(current, 7)]) {
    if (!(await findPublishedWeek(db, start))) unpublished.push({ start, end: addDays(start, 6) })
  }
  const overdue = await plotsWithOverdueCrops(db, today)
  const grown = (await listPlots(db, today)).filter(({ id }) => overdue.has(id))
  return { stale: stale.map(({ weir, ageDays }) => ({ ...weir, ageDays })), rests, unpublished, grown }
}
