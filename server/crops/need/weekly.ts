import { addDays, type CalendarDate } from '../../../domain/calendar.ts'
import {
  type BookedDay,
  type Crop,
  type FilledDay,
  fillMissingDays,
  type IrrigationNeed,
  irrigationNeed,
  type Reason,
  soilByKey,
  type WeeklyNeed,
  weeklyNeed,
} from '../../../domain/crops/index.ts'
import type { Group } from '../../../domain/people/group.ts'
import { addRanges } from '../../../domain/units.ts'
import type { Database } from '../../database/connection.ts'
import { listPlots, type Plot } from '../../people/plot/store.ts'
import { cropPlans, type PlannedCrop } from '../plan/store.ts'
import { daysAtPlot, type PlotGauge, type SeasonBook, seasonBook } from './book.ts'
import { withDaysToCome } from './days-to-come.ts'
import type { GivenWater } from './given-store.ts'
import { type LocalCoefficient, localCoefficient } from './local-coefficient.ts'
import { domainPlan, efficiencyOf, irrigationMm, standsInWeek } from './plan-water.ts'

export { domainPlan, standsInWeek } from './plan-water.ts'

export interface PlanNeed {
  plan: PlannedCrop
  crop: Crop
  result: WeeklyNeed | { known: false; reasons: Reason[] }
  /** How near the crop is to stress; the reasons where the book does not carry an answer. */
  stress: IrrigationNeed | { known: false; reasons: Reason[] }
  /** Days since sowing that were not wholly written, with what stood in for them in the days left. */
  filled: FilledDay[]
  /** What the group turned on to bend the printed coefficients. */
  local: LocalCoefficient
}

export interface PlotNeed {
  plotId: string
  need: { lowM3: number; likelyM3: number; highM3: number } | null
  /** Why there is no need to tell; empty where there is. */
  cannotSay: Reason[]
  /** Every crop that stands on the plot in that week. */
  plans: PlanNeed[]
  /** Last day to water before the first of its crops suffers; null where that cannot be said or none is due. */
  latestOn: CalendarDate | null
  /** Days left before the first of its crops suffers, 0 once one does; null likewise. */
  daysLeft: number | null
  /** Days before the week that are still to come, counted without rain. */
  toCome: CalendarDate[]
  /** The rain gauge of the plot; null where the weather book's counts. */
  gauge: PlotGauge | null
  /** What the group settled on for reckoning, as it held in that week. */
  settings: SeasonBook['settings']
}

/**
 * What every plot needs in the week that starts on a day, all its crops together; a plot without a crop needs nothing.
 * A week is planned before it begins: with `today`, the days up to its eve that nobody can have read yet count without rain.
 */
export async function weeklyNeeds(
  db: Database,
  { group, weekStartOn, today = weekStartOn }: { group: Group; weekStartOn: CalendarDate; today?: CalendarDate },
): Promise<PlotNeed[]> {
  const plots = await listPlots(db, weekStartOn)
  const plans = (await cropPlans(db)).filter((plan) => standsInWeek(plan, weekStartOn))
  const fortnightBefore = addDays(weekStartOn, -14)
  const fromOn = [fortnightBefore, ...plans.map((plan) => plan.sownOn)].sort()[0]!
  const book = await seasonBook(db, { place: group, fromOn, toOn: addDays(weekStartOn, -1), on: weekStartOn })
  return plots.map((plot) => {
    const { days: read, gauge } = daysAtPlot(book, plot.id)
    const { days, likelyDays, toCome } = withDaysToCome(read, { today, weekStartOn })
    const own = plans.filter((plan) => plan.plotId === plot.id)
    const local = localCoefficient({ settings: book.settings, plot, weather: book.weather, days, on: weekStartOn })
    const shared = {
      ...{ plot, book, days, likelyDays, local, weekStartOn },
      neighbours: own,
      given: book.given.filter((one) => one.plotId === plot.id),
    }
    const needs = own.map((plan) => planNeed({ ...shared, plan }))
    return { ...plotNeed(plot, needs, toCome), gauge, settings: book.settings }
  })
}

interface PlanOnPlot {
  plot: Plot
  plan: PlannedCrop
  book: SeasonBook
  local: LocalCoefficient
  /** Every crop of the plot, this one too: they share the water that was given. */
  neighbours: readonly PlannedCrop[]
  days: readonly BookedDay[]
  /** The same, with a likely demand on the days still to come. */
  likelyDays: readonly BookedDay[]
  given: readonly GivenWater[]
  weekStartOn: CalendarDate
}

function planNeed(input: PlanOnPlot): PlanNeed {
  const { plot, plan, days, weekStartOn, local } = input
  const { settings } = input.book
  const efficiency = efficiencyOf(plot, settings.stateOfPlot.get(plot.id)?.state)
  const common = {
    plan: domainPlan(plan, local),
    weekStartsOn: weekStartOn,
    availableMmPerM: soilByKey(plot.soil)!.availableMmPerM.likely,
    efficiency,
    ...(settings.monthTable ? { monthTableMmPerDay: settings.monthTable.etoMmPerDay } : {}),
    ...(local.climate ? { climate: local.climate } : {}),
  }
  const rain = settings.rainRule ? { rainRule: settings.rainRule, missingRain: settings.rainRule.missingRain } : {}
  const since = daysSinceSowing(input)
  const watered = since.days.map((day) => ({
    ...day,
    irrigationMm: irrigationMm({ ...input, efficiency: efficiency.likely }, day.date),
  }))
  return {
    ...{ plan, crop: plan.crop!, local },
    result: weeklyNeed({ ...common, ...rain, days }),
    // Seed is put into a moist bed, so the balance starts full on the day of sowing: common practice, no source.
    stress: irrigationNeed({ ...common, days: watered, startDepletionMm: 0 }),
    filled: since.filled,
  }
}

/** One forgotten reading must not hide how near a crop is to stress: gaps are filled, and the page says so. */
function daysSinceSowing({ plan, likelyDays, weekStartOn, book }: PlanOnPlot) {
  const first = likelyDays[0]?.date
  const monthTableMmPerDay = book.settings.monthTable?.etoMmPerDay
  if (first === undefined && !monthTableMmPerDay) return { days: likelyDays, filled: [] }
  const fromOn = first !== undefined && first > plan.sownOn ? first : plan.sownOn
  const whole = fillMissingDays({ days: likelyDays, fromOn, toOn: addDays(weekStartOn, -1), monthTableMmPerDay })
  return whole
    ? { days: [...likelyDays.filter((day) => day.date < fromOn), ...whole.days], filled: whole.filled }
    : { days: likelyDays, filled: [] }
}

function plotNeed(plot: Plot, plans: PlanNeed[], toCome: CalendarDate[]): Omit<PlotNeed, 'gauge' | 'settings'> {
  const unknown = plans.flatMap((plan) => (plan.result.known ? [] : plan.result.reasons))
  const known = plans.flatMap((plan) => (plan.result.known ? [plan.result.grossM3] : []))
  const sum = addRanges(known)
  return {
    plotId: plot.id,
    need: unknown.length > 0 ? null : { lowM3: sum.low, likelyM3: sum.likely, highM3: sum.high },
    cannotSay: differing(unknown),
    plans,
    ...firstStress(plans),
    toCome,
  }
}

/** One crop of which nothing is known hides the plot's last day, since it might be the first to suffer. */
function firstStress(plans: readonly PlanNeed[]): Pick<PlotNeed, 'latestOn' | 'daysLeft'> {
  const known = plans.flatMap(({ stress }) => (stress.known ? [stress] : []))
  if (known.length < plans.length) return { latestOn: null, daysLeft: null }
  const due = known.filter((one) => one.daysLeftBeforeStress !== null)
  const first = due.sort((a, b) => a.daysLeftBeforeStress! - b.daysLeftBeforeStress!)[0]
  return { latestOn: first?.latestDayBeforeStress ?? null, daysLeft: first?.daysLeftBeforeStress ?? null }
}

function differing(reasons: readonly Reason[]): Reason[] {
  return [...new Map(reasons.map((reason) => [JSON.stringify(reason), reason])).values()]
}
