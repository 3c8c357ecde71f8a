import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { isCalendarDate } from '../../../domain/calendar.ts'
import { tapedArea } from '../../../domain/crops/index.ts'
import { sum } from '../../../domain/sum.ts'
import { write } from '../../book/pen.ts'
import type { Parts } from '../../parts.ts'
import { currentGroup } from '../../people/group/store.ts'
import { listPlots, type Plot } from '../../people/plot/store.ts'
import { emptyForm, type Filled, readForm, withError } from '../../web/forms/forms.ts'
import { found } from '../../web/pages/errors.ts'
import { formPage } from '../../web/pages/form-page.ts'
import { may } from '../../web/pages/guard.ts'
import { page } from '../../web/pages/page.ts'
import { workingPage } from '../../web/pages/working.ts'
import { cropBook } from '../crop/store.ts'
import { cropNamer } from '../crop/words.ts'
import { plannable, planTrouble } from '../plan/check.ts'
import { addCropPlan } from '../plan/store.ts'
import { type SeasonNeeds, seasonNeeds } from '../season/need.ts'
import { ceilingOf, plantingWater, secondLook } from './ceiling.ts'
import { DeclarationForm, SecondLookForm, TRANCHES } from './forms.ts'
import { setSecondLook, tapings } from './store.ts'
import { whatIf } from './what-if.ts'
import { plantingWorking } from './working.ts'

type Asked = { Querystring: { cropKey?: string; sownOn?: string; method?: string } }

/** What may be planted, and who declared what. */
export function addPlantingRoutes(app: FastifyInstance, { db, now }: Parts): void {
  app.get<Asked>('/planting', { preHandler: may('crops.see') }, async (request, reply) => {
    const { today, locale } = request.visit
    const group = found(await currentGroup(db))
    const water = await plantingWater(db, { group, on: today })
    const season = await seasonNeeds(db, { group, fromOn: today })
    const crops = plannable(await cropBook(db), today)
    const cropName = cropNamer(locale)
    const asked = askedOf(request.query, today, season.plots)
    const ceiling = ceilingOf(water, season)
    const first = ceiling?.area.firstTrancheM2 ?? null
    return page({ request, reply }, 'crops/planting', {
      title: 'planting.title',
      ...{ group, water, season, ceiling, cropName, asked },
      what: whatIf({
        ...asked,
        group,
        water,
        season,
        declaredM3: ceiling?.needM3 ?? null,
        crop: crops.find((crop) => crop.key === asked.cropKey),
      }),
      choices: crops
        .map((crop) => ({ value: crop.key, label: cropName(crop) }))
        .sort((a, b) => a.label.localeCompare(b.label)),
      plainArea,
      standsAlready: season.plans.some(({ plan }) => plan.sownOn < today),
      look: await secondLook(db, group),
      parts: first === null ? null : partsOf(first, season.plots),
      rows: declaredRows(season, await tapings(db), first),
    })
  })

  app.get('/planting/working', { preHandler: may('crops.see') }, async (request, reply) => {
    const { today } = request.visit
    const group = found(await currentGroup(db))
    const water = await plantingWater(db, { group, on: today })
    const season = await seasonNeeds(db, { group, fromOn: today })
    return workingPage(
      { request, reply },
      plantingWorking({ water, season, ceiling: ceilingOf(water, season), visit: request.visit }),
    )
  })

  app.get<{ Querystring: { plotId?: string } }>(
    '/planting/declarations/new',
    { preHandler: may('crops.declare') },
    async (request, reply) => {
      const values = { plotId: request.query.plotId ?? '', tranche: TRANCHES[0] }
      return showDeclaration(request, reply, emptyForm(values))
    },
  )

  app.post('/planting/declarations', { preHandler: may('crops.declare') }, async (request, reply) => {
    const form = readForm(DeclarationForm, request.body)
    if (!form.ok) return showDeclaration(request, reply, form)
    const { plotId, cropKey, area, sownOn, tranche } = form.data
    const plan = { plotId, cropKey, areaM2: area, sownOn, tranche: tranche === '2' ? (2 as const) : (1 as const) }
    const plot = (await listPlots(db, sownOn)).find((one) => one.id === plotId)
    const group = found(await currentGroup(db))
    const wrong = planTrouble({ plan, plot, group, crops: await cropBook(db), request })
    if (wrong) return showDeclaration(request, reply, withError(form, wrong.field, wrong.key, wrong.values))
    return write(
      { db, request, reply, at: now() },
      (pen) => addCropPlan(pen, plan),
      () => '/crops/planting',
    )
  })

  app.get('/planting/second-look/new', { preHandler: may('crops.declare') }, async (request, reply) => {
    const look = await secondLook(db, found(await currentGroup(db)))
    return showLook(request, reply, emptyForm({ lookOn: look.on }))
  })

  app.post('/planting/second-look', { preHandler: may('crops.declare') }, async (request, reply) => {
    const form = readForm(SecondLookForm, request.body)
    if (!form.ok) return showLook(request, reply, form)
    const { seasonStartOn, seasonEndOn } = found(await currentGroup(db))
    const { lookOn } = form.data
    if (lookOn < seasonStartOn || lookOn > seasonEndOn) {
      const { format } = request.visit
      const values = { from: format.date(seasonStartOn), to: format.date(seasonEndOn) }
      return showLook(request, reply, withError(form, 'lookOn', 'planting.wrong.outside-season', values))
    }
    return write(
      { db, request, reply, at: now() },
      (pen) => setSecondLook(pen, seasonStartOn, lookOn),
      () => '/crops/planting',
    )
  })

  async function showDeclaration(request: FastifyRequest, reply: FastifyReply, filled: Filled) {
    const { today, locale, format } = request.visit
    const nameOf = cropNamer(locale)
    const crops = plannable(await cropBook(db), today).map((crop) => ({ value: crop.key, label: nameOf(crop) }))
    const plots = (await listPlots(db, today)).map(({ id, number, name, areaM2 }) => ({
      value: id,
      label: locale.t('crops.plan.plot-choice', { number, name, area: format.whole(areaM2) }),
    }))
    return formPage(
      { request, reply },
      {
        title: 'planting.declare.title',
        intro: ['planting.declare.intro'],
        form: DeclarationForm,
        filled,
        options: { plotId: plots, cropKey: crops.sort((a, b) => a.label.localeCompare(b.label)) },
        action: '/crops/planting/declarations',
        back: '/crops/planting',
      },
    )
  }
}

function showLook(request: FastifyRequest, reply: FastifyReply, filled: Filled) {
  return formPage(
    { request, reply },
    {
      title: 'planting.second-look.title',
      intro: ['planting.second-look.intro'],
      form: SecondLookForm,
      filled,
      action: '/crops/planting/second-look',
      back: '/crops/planting',
    },
  )
}

/** A ceiling is never said to the square metre: rounded down to full tens, from a thousand on to full hundreds. */
function plainArea(areaM2: number): number {
  const step = areaM2 >= 1000 ? 100 : areaM2 >= 100 ? 10 : 1
  return Math.floor(areaM2 / step) * step
}

/** The crop asked about; the method that most of the ground has stands first. */
function askedOf(query: Asked['Querystring'], today: string, plots: readonly Plot[]) {
  const ground = new Map<string, number>()
  for (const plot of plots) ground.set(plot.method, (ground.get(plot.method) ?? 0) + plot.areaM2)
  const usual = [...ground].sort((a, b) => b[1] - a[1])[0]?.[0] ?? 'drip'
  const sownOn = isCalendarDate(query.sownOn ?? '') ? query.sownOn! : today
  return { cropKey: query.cropKey ?? '', sownOn: sownOn < today ? today : sownOn, method: query.method || usual }
}

/** The first tranche by share and by household: whoever holds a plot counts once. */
function partsOf(firstTrancheM2: number, plots: readonly Plot[]) {
  const shares = sum(plots, (plot) => plot.shares)
  const households = new Set(plots.flatMap((plot) => plot.holders.slice(0, 1).map((holder) => holder.id))).size
  return {
    shares,
    households,
    perShareM2: shares > 0 ? firstTrancheM2 / shares : null,
    perHouseholdM2: households > 0 ? firstTrancheM2 / households : null,
  }
}

/** What stands or is declared on each plot, beside its part of the ceiling and what the tape says. */
function declaredRows(season: SeasonNeeds, taped: Awaited<ReturnType<typeof tapings>>, firstTrancheM2: number | null) {
  const shares = sum(season.plots, (plot) => plot.shares)
  return season.plots.flatMap((plot) => {
    const plans = season.standing.filter((one) => one.plot.id === plot.id).map(({ plan }) => plan)
    const last = taped.filter((taping) => taping.plotId === plot.id).at(-1)
    const tape = last
      ? {
          id: last.id,
          ...tapedArea({ sidesM: last.sidesM, ...(last.diagonalM === null ? {} : { diagonalM: last.diagonalM }) }),
        }
      : null
    if (plans.length === 0 && !tape) return []
    const declaredM2 = sum(
      plans.filter((plan) => plan.tranche !== 2),
      (plan) => plan.areaM2,
    )
    const partM2 = firstTrancheM2 === null || shares === 0 ? null : (firstTrancheM2 * plot.shares) / shares
    const overTapeM2 = tape ? Math.max(0, declaredM2 - tape.areaM2 * (1 + tape.errorFraction)) : 0
    return [{ plot, plans, tape, declaredM2, partM2, overTapeM2 }]
  })
}
