import { isCalendarDate } from '../../../domain/calendar.ts'
import { tapedArea } from '../../../domain/crops/planting/taped-area.ts'
import { sum } from '../../../domain/sum.ts'
import { kept } from '../../book/kept-answers.ts'
import { write } from '../../book/pen.ts'
import { landField, landNeeded, landOptions } from '../../people/measure/land-state.ts'
import { listPlots, type Plot } from '../../people/plot/store.ts'
import { rowsInSheets } from '../../web/figures/sheets.ts'
import { emptyForm, type Filled, readForm, withError } from '../../web/forms/forms.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { formPage } from '../../web/pages/form-page.ts'
import { openAndFolded } from '../../web/pages/long-list.ts'
import { page } from '../../web/pages/page.ts'
import { workingPage } from '../../web/pages/working.ts'
import { cropBook } from '../crop/store.ts'
import { cropNamer } from '../crop/words.ts'
import { plannable, planTrouble } from '../plan/check.ts'
import { addCropPlan } from '../plan/store.ts'
import { plotInWords } from '../plan/words.ts'
import { type SeasonNeeds, seasonNeeds } from '../season/need.ts'
import { ceilingOf, plantingWater, secondLook, stateOfLook } from './ceiling.ts'
import { DeclarationForm, SecondLookForm, TRANCHES } from './forms.ts'
import { setSecondLook, tapings } from './store.ts'
import { whatIf } from './what-if.ts'
import { plantingWorking } from './working.ts'

/** What may be planted, and who declared what. */
export function addPlantingPages({ get, post }: Pages): void {
  get('/crops/planting', 'crops.see', showPlanting)
  get('/crops/working/planting', 'crops.see', showWorking)
  get('/crops/new?as=beforehand', 'crops.declare', newDeclaration)
  post('/crops/new?as=beforehand', 'crops.declare', writeDeclaration)
  get('/crops/settle/second-look', 'crops.declare', newSecondLook)
  post('/crops/settle/second-look', 'crops.declare', writeSecondLook)
}

/** The water for planting, what the season's crops still need from today on, and the ground that the water carries. */
function plantingNow({ db, group, today: on }: Desk) {
  return kept(db, 'planting', { group, on }, async () => {
    const water = await plantingWater(db, { group, on })
    const season = await seasonNeeds(db, { group, fromOn: on })
    return { water, season, ceiling: ceilingOf(water, season) }
  })
}

async function showPlanting(desk: Desk) {
  const { today, locale, group } = desk
  const { water, season, ceiling } = await plantingNow(desk)
  const crops = plannable(await cropBook(desk.db), today)
  const cropName = cropNamer(locale)
  const asked = askedOf(desk.query, today, season.plots)
  const first = ceiling?.firstTrancheM2 ?? null
  const look = await secondLook(desk.db, group)
  const { open, folded } = openAndFolded(declaredRows(season, await tapings(desk.db), first), ({ plot }) =>
    plot.holders.some(({ id }) => id === desk.person.id),
  )
  return page(desk, 'crops/planting/page', {
    title: 'season.title',
    uncounted: water.weirs.filter(({ cannotSay }) => cannotSay.length > 0),
    group,
    water,
    season,
    ceiling,
    cropName,
    asked,
    what: whatIf({
      ...asked,
      group,
      water,
      season,
      crop: crops.find((crop) => crop.key === asked.cropKey),
    }),
    choices: crops
      .map((crop) => ({ value: crop.key, label: cropName(crop) }))
      .sort((a, b) => a.label.localeCompare(b.label)),
    plainArea,
    standsAlready: season.plans.some(({ plan }) => plan.sownOn < today),
    look: { ...look, state: stateOfLook(look.on, water) },
    parts: first === null ? null : partsOf(first, season.plots),
    rows: { open, ...rowsInSheets(desk, 'plots', folded) },
  })
}

async function showWorking(desk: Desk) {
  return workingPage(desk, plantingWorking({ ...(await plantingNow(desk)), desk }))
}

async function newDeclaration(desk: Desk) {
  const values = { plotId: desk.query.plotId ?? '', tranche: TRANCHES[0] }
  return showDeclaration(desk, emptyForm(values))
}

async function writeDeclaration(desk: Desk) {
  const form = readForm(DeclarationForm, desk.body)
  if (!form.ok) return showDeclaration(desk, form)
  const { plotId, cropKey, sownOn, tranche } = form.data
  const land = await landNeeded(desk, form)
  if ('again' in land) return showDeclaration(desk, land.again)
  const plan = { plotId, cropKey, ...land, sownOn, tranche: tranche === '2' ? (2 as const) : (1 as const) }
  const plot = (await listPlots(desk.db, sownOn)).find((one) => one.id === plotId)
  const { group } = desk
  const areaField = landField(form.data)
  const wrong = planTrouble({ plan, plot, group, crops: await cropBook(desk.db), format: desk.format, areaField })
  if (wrong) return showDeclaration(desk, withError(form, wrong.field, wrong.key, wrong.values))
  return write(
    desk,
    (pen) => addCropPlan(pen, plan),
    () => '/crops/planting',
  )
}

async function newSecondLook(desk: Desk) {
  const look = await secondLook(desk.db, desk.group)
  return showLook(desk, emptyForm({ lookOn: look.on < desk.today ? '' : look.on }))
}

async function writeSecondLook(desk: Desk) {
  const form = readForm(SecondLookForm, desk.body)
  if (!form.ok) return showLook(desk, form)
  const { seasonStartOn, seasonEndOn } = desk.group
  const { lookOn } = form.data
  if (lookOn < seasonStartOn || lookOn > seasonEndOn) {
    const { format } = desk
    const values = { from: format.date(seasonStartOn), to: format.date(seasonEndOn) }
    return showLook(desk, withError(form, 'lookOn', 'planting.wrong.outside-season', values))
  }
  if (lookOn < desk.today) return showLook(desk, withError(form, 'lookOn', 'planting.wrong.look-over'))
  return write(
    desk,
    (pen) => setSecondLook(pen, seasonStartOn, lookOn),
    () => '/crops/planting',
  )
}

async function showDeclaration(desk: Desk, filled: Filled) {
  const { today, locale } = desk
  const nameOf = cropNamer(locale)
  const crops = plannable(await cropBook(desk.db), today).map((crop) => ({ value: crop.key, label: nameOf(crop) }))
  const plots = (await listPlots(desk.db, today)).map((plot) => ({ value: plot.id, label: plotInWords(desk, plot) }))
  return formPage(desk, {
    title: 'planting.declare.title',
    intro: ['planting.declare.intro'],
    form: DeclarationForm,
    filled,
    options: {
      plotId: plots,
      cropKey: crops.sort((a, b) => a.label.localeCompare(b.label)),
      ownAreaIn: await landOptions(desk),
    },
    action: '/crops/new?as=beforehand',
    back: '/crops/planting',
  })
}

function showLook(desk: Desk, filled: Filled) {
  return formPage(desk, {
    title: 'planting.second-look.title',
    intro: ['planting.second-look.intro'],
    form: SecondLookForm,
    filled,
    action: '/crops/settle/second-look',
    back: '/crops/planting',
  })
}

/** A ceiling is never said to the square metre: rounded down to full tens, from a thousand on to full hundreds. */
function plainArea(areaM2: number): number {
  const step = areaM2 >= 1000 ? 100 : areaM2 >= 100 ? 10 : 1
  return Math.floor(areaM2 / step) * step
}

/** The crop asked about; the method that most of the ground has stands first. */
function askedOf(query: Desk['query'], today: string, plots: readonly Plot[]) {
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
