import { rollup } from 'd3-array'
import { STAGES, stageOn, stagePeriods } from '../../../domain/crops/crop/stages.ts'
import type { Crop } from '../../../domain/crops/data/crops.ts'
import { seasonCalendar } from '../../../domain/crops/season/calendar.ts'
import { sensitivityOrder } from '../../../domain/crops/season/sensitivity-order.ts'
import { sum } from '../../../domain/sum.ts'
import type { M3 } from '../../../domain/units.ts'
import { weekEndOn, weekOf, weekStartOf } from '../../../domain/weeks.ts'
import { kept } from '../../book/kept-answers.ts'
import { listPlots } from '../../people/plot/store.ts'
import { rowsInSheets } from '../../web/figures/sheets.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { page } from '../../web/pages/page.ts'
import { cropNamer } from '../crop/words.ts'
import { cropPlans, domainPlan } from '../plan/store.ts'
import { type SeasonNeeds, seasonNeeds } from './need.ts'
import { seasonPicture } from './picture.ts'
import { weeklyLift } from './weekly-lift.ts'

/** The season as a picture, and the order in which plots suffer from a cut. */
export function addSeasonPages({ get }: Pages): void {
  get('/crops/season', 'crops.see', showCalendar)
  get('/crops?as=hurt', 'crops.see', showOrder)
}

async function showCalendar(desk: Desk) {
  const { today, locale, group } = desk
  const cropName = cropNamer(locale)
  const season = await seasonNeeds(desk.db, { group, fromOn: [group.seasonStartOn, today].sort()[0]!, today })
  const weeks = (await weeksOf(desk, season)).map((week) => ({ ...week, crops: namedCrops(week.crops, cropName) }))
  const standing = season.standing.toSorted((a, b) => (a.plan.sownOn < b.plan.sownOn ? -1 : 1))
  const { shown, sheet } = rowsInSheets(desk, 'crops', standing)
  const rows = shown.map(({ plan, plot }) => {
    const { crop, ...dates } = domainPlan(plan)
    const periods = stagePeriods({ ...dates, stageDays: crop.stageDays }, today)
    return { plan, plot, periods, startOf: new Map(periods.map(({ stage, from }) => [stage, from])) }
  })
  const drawn = rows.map(({ plan, plot, periods }) => ({ label: `${plot.number} ${cropName(plan.crop!)}`, periods }))
  const most = weeks.toSorted((a, b) => b.grossM3 - a.grossM3)[0] ?? null
  return page(desk, 'crops/season/calendar', {
    title: 'season.calendar.title',
    weeks,
    rows,
    sheet,
    stages: STAGES,
    cropName,
    most,
    months: season.months,
    over: weeks.filter((week) => week.liftM3 !== null && week.grossM3 > week.liftM3),
    hasPumps: weeks.some((week) => week.liftM3 !== null),
    picture: seasonPicture(drawn, weeks, today),
  })
}

async function showOrder(desk: Desk) {
  const { today, locale, group } = desk
  const weekStartOn = weekStartOf(today, group)
  const plans = await plansInGround(desk.db, today)
  const ranks = sensitivityOrder({
    plots: plans.map(({ plan, stage }) => {
      const { perennial, yieldResponse } = plan.crop!
      return { id: plan.id, stage, perennial, yieldResponse }
    }),
  })
  const rows = ranks.map((rank) => ({ ...rank, ...plans.find(({ plan }) => plan.id === rank.id)! }))
  return page(desk, 'crops/season/order', {
    title: 'season.order.title',
    rows,
    weekStartOn,
    weekEndOn: weekEndOn(weekStartOn, group),
    cropName: cropNamer(locale),
  })
}

/** What grows on a day, found among the plans of all years. */
function plansInGround(db: Desk['db'], on: string) {
  return kept(db, 'plans in the ground', on, async () => {
    const plots = await listPlots(db, on)
    return (await cropPlans(db)).flatMap((plan) => {
      const plot = plots.find((one) => one.id === plan.plotId)
      if (!plot || !plan.crop?.stageDays) return []
      const { crop, ...dates } = domainPlan(plan)
      const place = stageOn({ ...dates, stageDays: crop.stageDays }, on)
      return place ? [{ plan, plot, stage: place.stage }] : []
    })
  })
}

function calendarPlans({ plans }: SeasonNeeds) {
  return plans.map(({ plan, areaM2, efficiency, need }) => ({
    id: plan.id,
    areaM2,
    efficiency: efficiency.likely,
    days: need.days,
  }))
}

interface CropOfWeek {
  crop: Crop
  grossM3: M3
}

/** What the crops of the season ask for week by week, each beside the others, and what the pumps lift. */
function weeksOf({ db, group, today }: Desk, season: SeasonNeeds) {
  return kept(db, 'weeks of the season', { group, today }, async () => {
    const liftOf = await weeklyLift(db, group)
    const cropOf = new Map(season.plans.map(({ plan }) => [plan.id, plan.crop!]))
    return seasonCalendar({ plans: calendarPlans(season), rhythm: group }).map(({ startsOn, grossM3, byPlan }) => {
      const { days } = weekOf(startsOn, group)
      return { startsOn, days, grossM3, liftM3: liftOf(startsOn, days), crops: cropsOfWeek(byPlan, cropOf) }
    })
  })
}

function cropsOfWeek(byPlan: readonly { id: string; grossM3: M3 }[], cropOf: ReadonlyMap<string, Crop>): CropOfWeek[] {
  const sums = new Map<string, CropOfWeek>()
  for (const { id, grossM3 } of byPlan) {
    const crop = cropOf.get(id)!
    const key = `${crop.key} ${crop.name}`
    sums.set(key, { crop, grossM3: (sums.get(key)?.grossM3 ?? 0) + grossM3 })
  }
  return [...sums.values()]
}

/** Which crops ask for how much in a week, the thirstiest first; those of one name together. */
function namedCrops(crops: readonly CropOfWeek[], nameOf: (crop: Crop) => string) {
  const sums = rollup(
    crops,
    (own) => sum(own, ({ grossM3 }) => grossM3),
    ({ crop }) => nameOf(crop),
  )
  return [...sums].sort((a, b) => b[1] - a[1]).map(([name, grossM3]) => ({ name, grossM3 }))
}
