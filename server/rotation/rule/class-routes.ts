import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { weekStartOf } from '../../../domain/calendar.ts'
import { cropByKey } from '../../../domain/crops/data/crops.ts'
import { cropClass } from '../../../domain/rotation/rule/classes.ts'
import { PLOT_CLASSES, type PlotClass } from '../../../domain/rotation/rule/types.ts'
import { write } from '../../book/pen.ts'
import { standsInWeek } from '../../crops/need/weekly.ts'
import { cropPlans } from '../../crops/plan/store.ts'
import type { Parts } from '../../parts.ts'
import { currentGroup } from '../../people/group/store.ts'
import { listPlots } from '../../people/plot/store.ts'
import { date, select } from '../../web/forms/fields.ts'
import { defineForm, emptyForm, type Filled, readForm, withError } from '../../web/forms/forms.ts'
import { found } from '../../web/pages/errors.ts'
import { formPage } from '../../web/pages/form-page.ts'
import { may } from '../../web/pages/guard.ts'
import { page } from '../../web/pages/page.ts'
import { planClassesOn, setPlanClass } from './class-store.ts'
import { sharingRuleOn } from './store.ts'

const ClassForm = defineForm('rules.crop-class', {
  planId: select(),
  class: select([...PLOT_CLASSES, 'usual']),
  fromOn: date(),
})

/** In which priority class each crop stands, and why. */
export function addClassRoutes(app: FastifyInstance, { db, now }: Parts): void {
  app.get('/sharing-rule/classes', { preHandler: may('turns.see') }, async (request, reply) =>
    page({ request, reply }, 'rotation/rule/classes', {
      title: 'rules.crop-class.list-title',
      rows: await standingCrops(request),
    }),
  )

  app.get<{ Querystring: { planId?: string } }>(
    '/sharing-rule/classes/new',
    { preHandler: may('rule.set') },
    async (request, reply) =>
      show(request, reply, emptyForm({ planId: request.query.planId ?? '', fromOn: request.visit.today })),
  )

  app.post('/sharing-rule/classes', { preHandler: may('rule.set') }, async (request, reply) => {
    const form = readForm(ClassForm, request.body)
    if (!form.ok) return show(request, reply, form)
    const { planId, fromOn } = form.data
    if (!(await standingCrops(request)).some(({ plan }) => plan.id === planId)) {
      return show(request, reply, withError(form, 'planId', 'error.choose'))
    }
    if (fromOn < request.visit.today) return show(request, reply, withError(form, 'fromOn', 'rules.crop-class.past'))
    const plotClass = form.data.class === 'usual' ? null : (form.data.class as PlotClass)
    return write(
      { db, request, reply, at: now() },
      (pen) => setPlanClass(pen, { planId, fromOn, plotClass }),
      () => '/turns/sharing-rule/classes',
    )
  })

  /** Crops in the ground this week, by plot; a class that begins later is not counted yet. */
  async function standingCrops(request: FastifyRequest) {
    const { today } = request.visit
    const group = found(await currentGroup(db))
    const rule = await sharingRuleOn(db, today)
    const set = await planClassesOn(db, today)
    const plots = await listPlots(db, today)
    return (await cropPlans(db))
      .filter((plan) => standsInWeek(plan, weekStartOf(today, group.firstWeekday)))
      .flatMap((plan) => {
        const plot = plots.find((one) => one.id === plan.plotId)
        const perennial = cropByKey(plan.cropKey)?.perennial ?? false
        const { sownOn } = plan
        const setClass = set.get(plan.id) ?? null
        return plot
          ? [{ plan, plot, ...cropClass({ setClass, sownOn, declaredOn: rule?.declaredOn ?? null, perennial }) }]
          : []
      })
      .sort((a, b) => a.plot.number - b.plot.number)
  }

  async function show(request: FastifyRequest, reply: FastifyReply, filled: Filled) {
    const { locale, format } = request.visit
    const rows = await standingCrops(request)
    return formPage(
      { request, reply },
      {
        title: 'rules.crop-class.title',
        form: ClassForm,
        filled,
        options: {
          planId: rows.map(({ plan, plot }) => ({
            value: plan.id,
            label: locale.t('rules.crop-class.choice', {
              plot: plot.number,
              crop: locale.t(`crops.crop.${plan.cropKey}`),
              date: format.date(plan.sownOn),
            }),
          })),
          class: [...PLOT_CLASSES, 'usual'].map((each) => ({ value: each, label: locale.t(`rules.class.${each}`) })),
        },
        action: '/turns/sharing-rule/classes',
        intro: ['rules.crop-class.intro'],
        back: '/turns/sharing-rule/classes',
      },
    )
  }
}
