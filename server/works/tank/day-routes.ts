import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { addDays } from '../../../domain/calendar.ts'
import { write } from '../../book/pen.ts'
import { tankRows } from '../../paper/books/tanks.ts'
import type { Parts } from '../../parts.ts'
import { listPlots } from '../../people/plot/store.ts'
import { emptyForm, type Filled } from '../../web/forms/forms.ts'
import { formPage } from '../../web/pages/form-page.ts'
import { may } from '../../web/pages/guard.ts'
import { page } from '../../web/pages/page.ts'
import { TankDayForm } from './day.ts'
import { listTanks, tankDays } from './store.ts'

const DAYS_SHOWN = 60

/** The tank and trough sheet: a line a day, and the same form as a screen. */
export function addTankDayRoutes(app: FastifyInstance, { db, now }: Parts): void {
  app.get('/tank-days', { preHandler: may('abstractions.see') }, async (request, reply) =>
    page({ request, reply }, 'works/tank-days', {
      title: 'paper.tank-days.title',
      lines: await tankDays(db, { fromOn: addDays(request.visit.today, -DAYS_SHOWN), toOn: request.visit.today }),
      tanks: await listTanks(db),
      days: DAYS_SHOWN,
    }),
  )

  app.get('/tank-days/new', { preHandler: may('abstraction.log') }, async (request, reply) => {
    const tanks = await listTanks(db)
    const tankId = tanks.length === 1 ? tanks[0]!.id : ''
    return show(request, reply, emptyForm({ onDate: request.visit.today, tankId }))
  })

  app.post('/tank-days', { preHandler: may('abstraction.log') }, async (request, reply) => {
    const at = now()
    const take = await tankRows({ db, request, at })
    const line = await take((request.body ?? {}) as Record<string, unknown>)
    if (!line.ok) return show(request, reply, line.form)
    return write({ db, request, reply, at }, line.write!, () => '/works/tank-days')
  })

  async function show(request: FastifyRequest, reply: FastifyReply, filled: Filled) {
    const numbered = ({ id, number, name }: { id: string; number: number; name: string }) => {
      return { value: id, label: `${number} ${name}` }
    }
    return formPage(
      { request, reply },
      {
        title: 'paper.tank-days.new',
        form: TankDayForm,
        filled,
        options: {
          tankId: (await listTanks(db)).map(numbered),
          plotId: (await listPlots(db, request.visit.today)).map(numbered),
        },
        action: '/works/tank-days',
        intro: ['paper.tank-days.how'],
        back: '/works/tank-days',
      },
    )
  }
}
