import type { FastifyInstance } from 'fastify'
import type { Parts } from './app.ts'
import type { Database } from './database/connection.ts'
import { showFirstPage } from './people/first-run-routes.ts'
import { bookIsEmpty } from './people/group-store.ts'
import { page } from './web/page.ts'

/** The steps of a new book, in the order in which each needs the one before, and where each is done. */
const STEPS = [
  { label: 'home.step-weir', table: 'weir', href: '/weirs/new' },
  { label: 'home.step-pump', table: 'pump', href: '/pumps/new' },
  { label: 'home.step-outlet', table: 'outlet', href: '/outlets/new' },
  { label: 'home.step-person', table: 'person', href: '/persons/new', atLeast: 2 },
  { label: 'home.step-plot', table: 'plot', href: '/plots/new' },
  { label: 'home.step-reserve', table: 'water_user', href: '/reserve/new' },
  { label: 'home.step-level', table: 'level_reading', href: '/levels/new' },
  { label: 'home.step-crop', table: 'crop_plan', href: '/crop-plans/new' },
  { label: 'home.step-weather', table: 'weather_day', href: '/weather/new' },
  { label: 'home.step-rule', table: 'sharing_rule', href: '/sharing-rule/new' },
  { label: 'home.step-week', table: 'published_week', href: '/weeks' },
  { label: 'home.step-tariff', table: 'tariff', href: '/tariffs/new' },
] as const

export function addHomeRoutes(app: FastifyInstance, { db }: Parts): void {
  app.get('/', async (request, reply) => {
    if (await bookIsEmpty(db)) return showFirstPage(request, reply)
    if (!request.person) return reply.redirect('/session/new', 303)
    const steps = await stepsOf(db)
    return page(request, reply, 'home', { title: 'home.title', steps, open: steps.filter((step) => !step.done).length })
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
