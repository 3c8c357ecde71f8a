import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { write } from '../../book/pen.ts'
import type { Parts } from '../../parts.ts'
import { listPlots } from '../../people/plot/store.ts'
import { date, select, whole } from '../../web/forms/fields.ts'
import { defineForm, emptyForm, type Filled, readForm, withError } from '../../web/forms/forms.ts'
import { formPage } from '../../web/pages/form-page.ts'
import { may } from '../../web/pages/guard.ts'
import { page } from '../../web/pages/page.ts'
import { householdsOn, setHousehold } from './household-store.ts'

const HouseholdForm = defineForm('rules.household', {
  plotId: select(),
  persons: whole({ min: 0, max: 500 }),
  fromOn: date(),
})

/** How many people live from each plot, for a rule that counts them. */
export function addHouseholdRoutes(app: FastifyInstance, { db, now }: Parts): void {
  app.get('/sharing-rule/households', { preHandler: may('turns.see') }, async (request, reply) => {
    const { today } = request.visit
    const households = await householdsOn(db, today)
    const plots = await listPlots(db, today)
    return page({ request, reply }, 'rotation/rule/households', {
      title: 'rules.household.list-title',
      rows: plots.map((plot) => ({ plot, household: households.get(plot.id) ?? null })),
    })
  })

  app.get<{ Querystring: { plotId?: string } }>(
    '/sharing-rule/households/new',
    { preHandler: may('rule.set') },
    async (request, reply) =>
      show(request, reply, emptyForm({ plotId: request.query.plotId ?? '', fromOn: request.visit.today })),
  )

  app.post('/sharing-rule/households', { preHandler: may('rule.set') }, async (request, reply) => {
    const form = readForm(HouseholdForm, request.body)
    if (!form.ok) return show(request, reply, form)
    const { today } = request.visit
    const { plotId, fromOn } = form.data
    if (!(await listPlots(db, today)).some((plot) => plot.id === plotId)) {
      return show(request, reply, withError(form, 'plotId', 'error.choose'))
    }
    if (fromOn < today && (await householdsOn(db, today)).has(plotId)) {
      return show(request, reply, withError(form, 'fromOn', 'rules.household.past'))
    }
    return write(
      { db, request, reply, at: now() },
      (pen) => setHousehold(pen, form.data),
      () => '/turns/sharing-rule/households',
    )
  })

  async function show(request: FastifyRequest, reply: FastifyReply, filled: Filled) {
    const plots = await listPlots(db, request.visit.today)
    const names = (plot: (typeof plots)[number]) => plot.holders.map((holder) => holder.name).join(', ')
    return formPage(
      { request, reply },
      {
        title: 'rules.household.title',
        form: HouseholdForm,
        filled,
        options: {
          plotId: plots.map((plot) => ({ value: plot.id, label: `${plot.number} ${plot.name} (${names(plot)})` })),
        },
        action: '/turns/sharing-rule/households',
        intro: ['rules.household.intro'],
        back: '/turns/sharing-rule/households',
      },
    )
  }
}
