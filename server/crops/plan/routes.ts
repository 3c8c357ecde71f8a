import type { CalendarDate } from '../../../domain/calendar.ts'
import { stagePeriods } from '../../../domain/crops/crop/stages.ts'
import type { Crop } from '../../../domain/crops/data/crops.ts'
import { irrigationMethodByKey, methodHint } from '../../../domain/crops/data/irrigation-methods.ts'
import type { Pen } from '../../book/entries.ts'
import { write } from '../../book/pen.ts'
import { landCounted, landField, landNeeded, landOptions } from '../../people/measure/land-state.ts'
import { listPlots, type Plot } from '../../people/plot/store.ts'
import { emptyForm, type Filled, readForm, withError } from '../../web/forms/forms.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { found } from '../../web/pages/errors.ts'
import { formPage } from '../../web/pages/form-page.ts'
import { page } from '../../web/pages/page.ts'
import { cropBook } from '../crop/store.ts'
import { cropNamer } from '../crop/words.ts'
import { plannable, planTrouble } from './check.ts'
import { setPlanCover } from './cover-store.ts'
import { EndingForm, PlanCorrectionForm, PlanForm } from './forms.ts'
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
import { plotInWords } from './words.ts'

export function addPlanPages({ get, post }: Pages): void {
  get('/crops/new', 'crops.declare', newPlan)
  post('/crops/new', 'crops.declare', writePlan)
  get('/crops/lines/crop/:id', 'crops.see', showPlan)
  get('/crops/lines/crop/:id/correct', 'crops.declare', newCorrection)
  post('/crops/lines/crop/:id/correct', 'crops.declare', writeCorrection)
  get('/crops/plans/:id/end', 'crops.declare', newEnding)
  post('/crops/plans/:id/end', 'crops.declare', writeEnding)
}

async function newPlan(desk: Desk) {
  // A second sowing or a ratoon begins with the ground and the crop of the first.
  const before = (await cropPlans(desk.db)).find((plan) => plan.id === desk.query.from)
  const again = before && { plotId: before.plotId, cropKey: before.cropKey, area: String(before.areaM2) }
  return showPlanForm(desk, emptyForm(again ?? { plotId: desk.query.plotId ?? '' }))
}

async function writePlan(desk: Desk) {
  const form = readForm(PlanForm, desk.body)
  if (!form.ok) return showPlanForm(desk, form)
  const { plotId, cropKey, sownOn } = form.data
  const land = await landNeeded(desk, form)
  if ('again' in land) return showPlanForm(desk, land.again)
  const plan = { plotId, cropKey, ...land, sownOn }
  const plot = (await listPlots(desk.db, sownOn)).find((one) => one.id === plotId)
  const { group } = desk
  const areaField = landField(form.data)
  const wrong = planTrouble({ plan, plot, group, crops: await cropBook(desk.db), format: desk.format, areaField })
  if (wrong) return showPlanForm(desk, withError(form, wrong.field, wrong.key, wrong.values))
  return write(
    desk,
    (pen) => addCropPlan(pen, plan),
    (id) => `/crops/lines/crop/${id}`,
  )
}

async function showPlan(desk: Desk<'id'>) {
  const { plan, plans, crops, crop, plot } = await planOr404(desk)
  return page(desk, 'crops/plan', {
    title: 'crops.plan.heading',
    titleValues: { crop: cropNamer(desk.locale)(crop), plot: plot.number, name: plot.name },
    plan,
    land: await landCounted(desk, plan.areaM2),
    crop,
    plot,
    stages: stagesOf(plan, desk.today),
    cover: plan.cover,
    untilOn: growsUntil(plan),
    cropName: cropNamer(desk.locale),
    nameOfKey: (key: string) => cropNamer(desk.locale)(crops.of({ ...plan, cropKey: key }) ?? { key, name: key }),
    earlier: await earlierPlans(desk.db, plan.id),
    crowding: crowding(plot, plan, plans),
    hint: methodHint({ cropKey: crop.key, methodKey: irrigationMethodByKey(plot.method)!.key }),
  })
}

/** From when to when each stage lasts if the crop is left to run its course; of one that stands for years, in this year. */
function stagesOf(plan: PlannedCrop, today: CalendarDate) {
  const { crop, sownOn: plantedOn } = plan
  if (!crop?.stageDays) return []
  return stagePeriods({ stageDays: crop.stageDays, plantedOn, repeats: crop.perennial }, today)
}

async function newCorrection(desk: Desk<'id'>) {
  const { plan } = await planOr404(desk)
  const { plotId, cropKey, areaM2, sownOn } = plan
  return showPlanForm(desk, emptyForm({ plotId, cropKey, area: String(areaM2), sownOn }), plan)
}

async function writeCorrection(desk: Desk<'id'>) {
  const { plan: wrongPlan } = await planOr404(desk)
  const form = readForm(PlanCorrectionForm, desk.body)
  if (!form.ok) return showPlanForm(desk, form, wrongPlan)
  const { plotId, cropKey, sownOn, struckOut, reason } = form.data
  const land = await landNeeded(desk, form)
  if ('again' in land) return showPlanForm(desk, land.again, wrongPlan)
  const plan = { plotId, cropKey, ...land, sownOn, tranche: wrongPlan.tranche }
  const plot = (await listPlots(desk.db, sownOn)).find((one) => one.id === plotId)
  const { group } = desk
  const standing = { group, crops: await cropBook(desk.db), format: desk.format, endedOn: wrongPlan.endedOn }
  const checked = { plan, plot, ...standing, areaField: landField(form.data) }
  const wrong = struckOut ? null : planTrouble(checked)
  if (wrong) return showPlanForm(desk, withError(form, wrong.field, wrong.key, wrong.values), wrongPlan)
  return write(
    desk,
    (pen) => replacePlan(pen, wrongPlan, struckOut ? null : plan, reason),
    (id) => (struckOut ? '/crops' : `/crops/lines/crop/${id}`),
  )
}

async function newEnding(desk: Desk<'id'>) {
  const { plan, crop, plot } = await planOr404(desk)
  const values = { outcome: plan.outcome ?? 'harvested', endedOn: plan.endedOn ?? desk.today }
  return showEnding(desk, { plan, crop, plot }, emptyForm(values))
}

async function writeEnding(desk: Desk<'id'>) {
  const { plan, crop, plot } = await planOr404(desk)
  const form = readForm(EndingForm, desk.body)
  if (!form.ok) return showEnding(desk, { plan, crop, plot }, form)
  const { outcome, endedOn, reason } = form.data
  const { format, today } = desk
  if (endedOn < plan.sownOn) {
    const values = { date: format.date(plan.sownOn) }
    return showEnding(
      desk,
      { plan, crop, plot },
      withError(form, 'endedOn', 'crops.wrong.harvest-before-sowing', values),
    )
  }
  if (endedOn > today)
    return showEnding(desk, { plan, crop, plot }, withError(form, 'endedOn', 'crops.wrong.day-to-come'))
  if (plan.endedOn !== null && reason === null) {
    return showEnding(desk, { plan, crop, plot }, withError(form, 'reason', 'crops.wrong.ending-stands'))
  }
  return write(
    desk,
    (pen) => endCropPlan(pen, { planId: plan.id, outcome, endedOn }, { reason: reason ?? undefined }),
    () => `/crops/lines/crop/${plan.id}`,
  )
}

async function planOr404(desk: Desk<'id'>) {
  const { id } = desk.params
  const plans = await cropPlans(desk.db)
  const plan = found(plans.find((one) => one.id === id))
  const plot = found((await listPlots(desk.db, desk.today)).find((one) => one.id === plan.plotId))
  return { plan, plans, plot, crops: await cropBook(desk.db), crop: found(plan.crop ?? undefined) }
}

async function showPlanForm(desk: Desk, filled: Filled, corrected?: PlannedCrop) {
  const plots = await listPlots(desk.db, desk.today)
  const nameOf = cropNamer(desk.locale)
  const book = await cropBook(desk.db)
  const crops = plannable(book, desk.today).map((crop) => ({ value: crop.key, label: nameOf(crop) }))
  return formPage(desk, {
    ...(corrected ? correctionPage(corrected) : NEW_PLAN_PAGE),
    filled,
    options: {
      plotId: plots.map((plot) => ({ value: plot.id, label: plotInWords(desk, plot) })),
      cropKey: crops.sort((a, b) => a.label.localeCompare(b.label)),
      ownAreaIn: await landOptions(desk),
    },
  })
}

const NEW_PLAN_PAGE = {
  title: 'crops.plan.title',
  intro: ['crops.plan.intro'],
  form: PlanForm,
  action: '/crops/new',
  back: '/crops',
}

function correctionPage({ id }: PlannedCrop) {
  const place = `/crops/lines/crop/${id}`
  const intro = ['crops.plan.correction-intro']
  return { title: 'crops.plan.correct', intro, form: PlanCorrectionForm, action: `${place}/correct`, back: place }
}

/** The new plan keeps the ending and the cover that were written for the wrong one. */
async function replacePlan(pen: Pen, wrongPlan: PlannedCrop, plan: NewCropPlan | null, reason: string): Promise<void> {
  const planId = await correctCropPlan(pen, { planId: wrongPlan.id, plan, reason })
  const { endedOn, outcome, cover } = wrongPlan
  if (plan && cover) await setPlanCover(pen, { ...cover, planId })
  if (plan && endedOn !== null && outcome !== null) await endCropPlan(pen, { planId, endedOn, outcome })
}

function showEnding(desk: Desk, { plan, crop, plot }: { plan: PlannedCrop; crop: Crop; plot: Plot }, filled: Filled) {
  return formPage(desk, {
    title: 'crops.ending.title',
    titleValues: {
      crop: cropNamer(desk.locale)(crop),
      plot: plot.number,
      name: plot.name,
      day: desk.format.date(plan.sownOn),
    },
    intro: ['crops.ending.intro'],
    form: EndingForm,
    filled,
    action: `/crops/plans/${plan.id}/end`,
    back: `/crops/lines/crop/${plan.id}`,
  })
}
