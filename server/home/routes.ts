import type { FastifyInstance } from 'fastify'
import { settingsToCome } from '../book/to-come.ts'
import type { Parts } from '../parts.ts'
import { bookIsEmpty } from '../people/group/store.ts'
import { alarmLines } from '../rotation/alarm/state.ts'
import { keptOr } from '../web/kept-pages.ts'
import { type Desk, deskOf, pagesOf } from '../web/pages/desk.ts'
import { page } from '../web/pages/page.ts'
import { squareCode } from '../web/phones.ts'
import { firstSteps, nextStep } from './first-steps.ts'
import { addPracticePages } from './practice-routes.ts'
import { todayOf } from './today/page.ts'
import { addWithholdingPages } from './withholding-routes.ts'

export function addHomeRoutes(app: FastifyInstance, parts: Parts): void {
  addWithholdingPages(pagesOf(app, parts))
  addPracticePages(pagesOf(app, parts))
  const phones = () => parts.phones?.() ?? []
  pagesOf(app, parts).get('/book', 'people.see', (desk) => page(desk, 'book', { title: 'home.book-title' }))
  pagesOf(app, parts).get('/book/phones', 'people.see', (desk) =>
    page(desk, 'phones', {
      title: 'home.phones-title',
      phones: phones().map((url) => ({ url, code: squareCode(url) })),
      notes: ['same', 'changes', 'internet', desk.request.server.isBehindTls ? 'certificate' : 'near'],
    }),
  )
  app.get('/', async (request, reply) => {
    const { db } = parts
    if (await bookIsEmpty(db))
      return page({ request, reply }, 'people/first-run/first', {
        title: 'people.first.title',
        asksCode: phones().length > 0,
      })
    if (!request.person) return reply.redirect('/sign-in', 303)
    if (request.person.mustChoose) return reply.redirect('/people/settle/password', 303)
    return keptOr(db, { request, reply }, () => showToday(deskOf(parts, request, reply), phones()[0] ?? null))
  })
}

async function showToday(desk: Desk, phonesAt: string | null) {
  const { db, today } = desk
  const steps = await firstSteps(db)
  return page(desk, 'home', {
    title: 'home.title',
    alarms: await alarmLines(desk),
    steps,
    open: steps.filter((step) => !step.done).length,
    ...(await todayOf(desk, nextStep(desk, steps))),
    phones: desk.may('works.describe') ? { url: phonesAt } : null,
    toCome: desk.may('week.publish') ? await settingsToCome(db, today) : [],
  })
}
