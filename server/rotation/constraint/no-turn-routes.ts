import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { write } from '../../book/pen.ts'
import type { Parts } from '../../parts.ts'
import { emptyForm, type Filled, readForm, withError } from '../../web/forms/forms.ts'
import { formPage } from '../../web/pages/form-page.ts'
import { may } from '../../web/pages/guard.ts'
import { listPumps } from '../../works/pump/store.ts'
import { NoTurnDayForm } from './forms.ts'
import { addNoTurnDay } from './no-turn-store.ts'

/** Days without turns: rest, market, mourning, school, repair. */
export function addNoTurnRoutes(app: FastifyInstance, { db, now }: Parts): void {
  app.get('/no-turn-days/new', { preHandler: may('rule.set') }, async (request, reply) =>
    showNoTurnDay(request, reply, emptyForm()),
  )

  app.post('/no-turn-days', { preHandler: may('rule.set') }, async (request, reply) => {
    const form = readForm(NoTurnDayForm, request.body)
    if (!form.ok) return showNoTurnDay(request, reply, form)
    if (form.data.onDate < request.visit.today) {
      return showNoTurnDay(request, reply, withError(form, 'onDate', 'rotation.no-turn-day.past'))
    }
    return write(
      { db, request, reply, at: now() },
      (pen) => addNoTurnDay(pen, form.data),
      () => '/turns/weeks',
    )
  })

  async function showNoTurnDay(request: FastifyRequest, reply: FastifyReply, filled: Filled) {
    const pumps = await listPumps(db, request.visit.today)
    return formPage(
      { request, reply },
      {
        title: 'rotation.no-turn-day.title',
        form: NoTurnDayForm,
        filled,
        options: { pumpId: pumps.map((pump) => ({ value: pump.id, label: `${pump.number} ${pump.name}` })) },
        action: '/turns/no-turn-days',
        intro: ['rotation.no-turn-day.intro'],
        back: '/turns/weeks',
      },
    )
  }
}
