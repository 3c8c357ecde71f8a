import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { addDays, type CalendarDate } from '../../../domain/calendar.ts'
import { type Crop, irrigationMethodByKey, methodHint, STAGES } from '../../../domain/crops/index.ts'
import type { Pen } from '../../book/entries.ts'
import { write } from '../../book/pen.ts'
import type { Parts } from '../../parts.ts'
import { currentGroup } from '../../people/group/store.ts'
import { listPlots, type Plot } from '../../people/plot/store.ts'
import { emptyForm, type Filled, readForm, withError } from '../../web/forms/forms.ts'
import { found } from '../../web/pages/errors.ts'
import { formPage } from '../../web/pages/form-page.ts'
import { may } from '../../web/pages/guard.ts'
import { page } from '../../web/pages/page.ts'
import { cropBook } from '../crop/store.ts'
import { cropNamer } from '../crop/words.ts'
import { EndingForm, PlanCorrectionForm, PlanForm } from '../forms.ts'
import { plannable, planTrouble } from './check.ts'
import { crowding, growsUntil } from './ground.ts'
import {
  addCropPlan,
  correctCropPlan,
  cropPlans,
  earlierPlans,
  endCropPlan,
  type NewCropPlan,
  type PlannedCrop,
} from './store.ts'

type WithId = { Params: { id: string } }

export function addPlanRoutes(app: FastifyInstance, { db, now }: Parts): void {
  app.get<{ Querystring: { plotId?: string; from?: string } }>(
    '/crop-plans/new',
    { preHandler: may('crops.declare') },
    async (request, reply) => {
      // A second sowing or a ratoon begins with the ground and the crop of the first.
      const before = (await cropPlans(db)).find((plan) => plan.id === request.query.from)
      const again = before && { plotId: before.plotId, cropKey: before.cropKey, area: String(before.areaM2) }
      return showPlan(request, reply, emptyForm(again ?? { plotId: request.query.plotId ?? '' }))
    },
  )

  app.post('/crop-plans', { preHandler: may('crops.declare') }, async (request, reply) => {
    const form = readForm(PlanForm, request.body)
    if (!form.ok) return showPlan(request, reply, form)
    const { plotId, cropKey, area, sownOn } = form.data
    const plan = { plotId, cropKey, areaM2: area, sownOn }
    const plot = (await listPlots(db, sownOn)).find((one) => one.id === plotId)
    const group = found(await currentGroup(db))
    const wrong = planTrouble({ plan, plot, group, crops: await cropBook(db), request })
    if (wrong) return showPlan(request, reply, withError(form, wrong.field, wrong.key, wrong.values))
    return write(
      { db, request, reply, at: now() },
      (pen) => addCropPlan(pen, plan),
      (id) => `/crops/crop-plans/${id}`,
    )
  })

  app.get<WithId>('/crop-plans/:id', { preHandler: may('crops.see') }, async (request, reply) => {
    const { plan, plans, crops, crop, plot } = await planOr404(request)
    return page({ request, reply }, 'crops/plan', {
      title: 'crops.plan.heading',
      titleValues: { crop: cropNamer(request.visit.locale)(crop), plot: plot.number, name: plot.name },
      ...{ plan, crop, plot },
      stages: stageRows(plan, crop),
      untilOn: growsUntil(plan),
      cropName: cropNamer(request.visit.locale),
      nameOfKey: (key: string) =>
        cropNamer(request.visit.locale)(crops.of({ ...plan, cropKey: key }) ?? { key, name: key }),
      earlier: await earlierPlans(db, plan.id),
      crowding: crowding(plot, plan, plans),
      hint: methodHint({ cropKey: crop.key, methodKey: irrigationMethodByKey(plot.method)!.key }),
    })
  })

  app.get<WithId>('/crop-plans/:id/corrections/new', { preHandler: may('crops.declare') }, async (request, reply) => {
    const { plan } = await planOr404(request)
    const { plotId, cropKey, areaM2, sownOn } = plan
    return showPlan(request, reply, emptyForm({ plotId, cropKey, area: String(areaM2), sownOn }), plan)
  })

  app.post<WithId>('/crop-plans/:id/corrections', { preHandler: may('crops.declare') }, async (request, reply) => {
    const { plan: wrongPlan } = await planOr404(request)
    const form = readForm(PlanCorrectionForm, request.body)
    if (!form.ok) return showPlan(request, reply, form, wrongPlan)
    const { plotId, cropKey, area, sownOn, struckOut, reason } = form.data
    const plan = { plotId, cropKey, areaM2: area, sownOn, tranche: wrongPlan.tranche }
    const plot = (await listPlots(db, sownOn)).find((one) => one.id === plotId)
    const group = found(await currentGroup(db))
    const checked = { plan, plot, group, crops: await cropBook(db), request, endedOn: wrongPlan.endedOn }
    const wrong = struckOut ? null : planTrouble(checked)
    if (wrong) return showPlan(request, reply, withError(form, wrong.field, wrong.key, wrong.values), wrongPlan)
    return write(
      { db, request, reply, at: now() },
      (pen) => replacePlan(pen, wrongPlan, struckOut ? null : plan, reason),
      (id) => (struckOut ? '/crops' : `/crops/crop-plans/${id}`),
    )
  })

  app.get<WithId>('/crop-plans/:id/endings/new', { preHandler: may('crops.declare') }, async (request, reply) => {
    const { plan, crop } = await planOr404(request)
    const values = { outcome: plan.outcome ?? 'harvested', endedOn: plan.endedOn ?? request.visit.today }
    return showEnding(request, reply, { plan, crop }, emptyForm(values))
  })

  app.post<WithId>('/crop-plans/:id/endings', { preHandler: may('crops.declare') }, async (request, reply) => {
    const { plan, crop } = await planOr404(request)
    const form = readForm(EndingForm, request.body)
    if (!form.ok) return showEnding(request, reply, { plan, crop }, form)
    const { outcome, endedOn, reason } = form.data
    const { format, today } = request.visit
    if (endedOn < plan.sownOn) {
      const values = { date: format.date(plan.sownOn) }
      return showEnding(
        request,
        reply,
        { plan, crop },
        withError(form, 'endedOn', 'crops.wrong.harvest-before-sowing', values),
      )
    }
    if (endedOn > today)
      return showEnding(request, reply, { plan, crop }, withError(form, 'endedOn', 'crops.wrong.day-to-come'))
    if (plan.endedOn !== null && reason === null) {
      return showEnding(request, reply, { plan, crop }, withError(form, 'reason', 'crops.wrong.ending-stands'))
    }
    return write(
      { db, request, reply, at: now() },
      (pen) => endCropPlan(pen, { planId: plan.id, outcome, endedOn }, { reason: reason ?? undefined }),
      () => `/crops/crop-plans/${plan.id}`,
    )
  })

  async function planOr404(request: FastifyRequest) {
    const { id } = request.params as { id: string }
    const plans = await cropPlans(db)
    const plan = found(plans.find((one) => one.id === id))
    const plot = found((await listPlots(db, request.visit.today)).find((one) => one.id === plan.plotId))
    return { plan, plans, plot, crops: await cropBook(db), crop: found(plan.crop ?? undefined) }
  }

  async function showPlan(request: FastifyRequest, reply: FastifyReply, filled: Filled, corrected?: PlannedCrop) {
    const plots = await listPlots(db, request.visit.today)
    const nameOf = cropNamer(request.visit.locale)
    const book = await cropBook(db)
    const crops = plannable(book, request.visit.today).map((crop) => ({ value: crop.key, label: nameOf(crop) }))
    return formPage(
      { request, reply },
      {
        ...(corrected ? correctionPage(corrected) : NEW_PLAN_PAGE),
        filled,
        options: {
          plotId: plots.map((plot) => ({ value: plot.id, label: plotInWords(request, plot) })),
          cropKey: crops.sort((a, b) => a.label.localeCompare(b.label)),
        },
      },
    )
  }
}

const NEW_PLAN_PAGE = {
  title: 'crops.plan.title',
  intro: ['crops.plan.intro'],
  form: PlanForm,
  action: '/crops/crop-plans',
  back: '/crops',
}

function correctionPage({ id }: PlannedCrop) {
  const place = `/crops/crop-plans/${id}`
  const intro = ['crops.plan.correction-intro']
  return { title: 'crops.plan.correct', intro, form: PlanCorrectionForm, action: `${place}/corrections`, back: place }
}

/** The new plan keeps the ending that was written for the wrong one. */
async function replacePlan(pen: Pen, wrongPlan: PlannedCrop, plan: NewCropPlan | null, reason: string): Promise<void> {
  const planId = await correctCropPlan(pen, { planId: wrongPlan.id, plan, reason })
  const { endedOn, outcome } = wrongPlan
  if (plan && endedOn !== null && outcome !== null) await endCropPlan(pen, { planId, endedOn, outcome })
}

function plotInWords(request: FastifyRequest, plot: Plot): string {
  const { locale, format } = request.visit
  return locale.t('crops.plan.plot-choice', { number: plot.number, name: plot.name, area: format.whole(plot.areaM2) })
}

function showEnding(
  request: FastifyRequest,
  reply: FastifyReply,
  { plan, crop }: { plan: PlannedCrop; crop: Crop },
  filled: Filled,
) {
  return formPage(
    { request, reply },
    {
      title: 'crops.ending.title',
      titleValues: { crop: cropNamer(request.visit.locale)(crop) },
      intro: ['crops.ending.intro'],
      form: EndingForm,
      filled,
      action: `/crops/crop-plans/${plan.id}/endings`,
      back: `/crops/crop-plans/${plan.id}`,
    },
  )
}

/** From when to when each stage lasts if the crop is left to run its course. */
function stageRows(plan: PlannedCrop, crop: Crop): { stage: string; fromOn: CalendarDate; toOn: CalendarDate }[] {
  let fromOn = plan.sownOn
  return (crop.stageDays ?? []).flatMap((days, at) => {
    const row = { stage: STAGES[at]!, fromOn, toOn: addDays(fromOn, days - 1) }
    fromOn = addDays(fromOn, days)
    return days > 0 ? [row] : []
  })
}
