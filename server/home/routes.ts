import type { FastifyInstance } from 'fastify'
import { settingsToCome } from '../book/to-come.ts'
import type { Database } from '../database/connection.ts'
import type { Parts } from '../parts.ts'
import { bookIsEmpty } from '../people/group/store.ts'
import { alarmLines } from '../rotation/alarm/state.ts'
import { type Desk, deskOf, pagesOf } from '../web/pages/desk.ts'
import { page } from '../web/pages/page.ts'
import type { Line } from './today/line.ts'
import { todayOf } from './today/page.ts'
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

export function addHomeRoutes(app: FastifyInstance, parts: Parts): void {
  addWithholdingPages(pagesOf(app, parts))
  const { db } = parts
  pagesOf(app, parts).get('/book', 'people.see', (desk) => page(desk, 'book', { title: 'home.book-title' }))
  app.get('/', async (request, reply) => {
    if (await bookIsEmpty(db))
      return page({ request, reply }, 'people/first-run/first', { title: 'people.first.title' })
    if (!request.person) return reply.redirect('/session/new', 303)
    const steps = await stepsOf(db)
    const desk = deskOf(parts, request, reply)
    return page(desk, 'home', {
      title: 'home.title',
      alarms: await alarmLines(desk),
      steps,
      open: steps.filter((step) => !step.done).length,
      ...(await todayOf(desk, nextStep(desk, steps))),
      toCome: desk.may('week.publish') ? await settingsToCome(db, desk.today) : [],
    })
  })
}

/** What a new book needs next; it comes before all else until the first week is published. */
function nextStep({ may, t }: Desk, steps: Awaited<ReturnType<typeof stepsOf>>): Line | null {
  const step = steps.find(({ done }) => !done)
  const hasWeek = steps.some(({ table, done }) => table === 'publishedWeek' && done)
  if (!step || hasWeek || !may('works.describe')) return null
  const at = steps.indexOf(step) + 1
  return { picture: 'book', words: t(step.label), small: t('today.step', { at, of: steps.length }), href: step.href }
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
