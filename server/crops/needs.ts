import { addDays, type CalendarDate, datesFromTo } from '../../domain/calendar.ts'
import {
  applicationEfficiency,
  type BookedDay,
  type Crop,
  type CropPlan,
  cropByKey,
  type IrrigationNeed,
  irrigationMethodByKey,
  irrigationNeed,
  netIrrigationMm,
  type Reason,
  type StageDays,
  soilByKey,
  stageOn,
  type WeeklyNeed,
  weeklyNeed,
} from '../../domain/crops/index.ts'
import { addRanges, type Range } from '../../domain/units.ts'
import type { Database } from '../database/connection.ts'
import type { Group } from '../people/group-store.ts'
import { listPlots, type Plot } from '../people/plot-store.ts'
import { bookedDay } from './day-demand.ts'
import { withDaysToCome } from './days-to-come.ts'
import { type GivenWater, givenWater } from './given-store.ts'
import { cropPlans, type PlannedCrop } from './plan-store.ts'
import { weatherDays } from './weather-store.ts'

export interface PlanNeed {
  plan: PlannedCrop
  crop: Crop
  result: WeeklyNeed | { known: false; reasons: Reason[] }
  /** How near the crop is to stress; the reasons where the book does not carry an answer. */
  stress: IrrigationNeed | { known: false; reasons: Reason[] }
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
  const eve = addDays(weekStartOn, -1)
  const read = (await weatherDays(db, { fromOn, toOn: eve })).map((day) => bookedDay(group, day))
  const { days, likelyDays, toCome } = withDaysToCome(read, { today, weekStartOn })
  const given = await givenWater(db, { fromOn, toOn: eve })
  return plots.map((plot) => {
    const own = plans.filter((plan) => plan.plotId === plot.id)
    const ownGiven = given.filter((one) => one.plotId === plot.id)
    return plotNeed(
      plot,
      own.map((plan) => planNeed({ plot, plan, neighbours: own, days, likelyDays, given: ownGiven, weekStartOn })),
      toCome,
    )
  })
}

/** True while the crop is in the ground on a day of the week and has not come to the end of its last stage. */
export function standsInWeek(plan: PlannedCrop, weekStartOn: CalendarDate): boolean {
  const { crop, ...season } = domainPlan(plan)
  const dates = datesFromTo(weekStartOn, addDays(weekStartOn, 6))
  return dates.some((date) => stageOn({ ...season, stageDays: crop.stageDays }, date) !== null)
}

/** The plan as the domain takes it. A crop that stands for years begins its stages again. */
export function domainPlan(plan: PlannedCrop): CropPlan {
  const crop = cropByKey(plan.cropKey)
  if (!crop?.stageDays) throw new RangeError(`crop '${plan.cropKey}' cannot be planned`)
  const stageDays: StageDays = crop.stageDays
  const { areaM2, sownOn: plantedOn, endedOn: harvestedOn } = plan
  return { crop: { ...crop, stageDays }, areaM2, plantedOn, harvestedOn, repeats: crop.perennial }
}

interface PlanOnPlot {
  plot: Plot
  plan: PlannedCrop
  /** Every crop of the plot, this one too: they share the water that was given. */
  neighbours: readonly PlannedCrop[]
  days: readonly BookedDay[]
  /** The same, with a likely demand on the days still to come. */
  likelyDays: readonly BookedDay[]
  given: readonly GivenWater[]
  weekStartOn: CalendarDate
}

function planNeed(input: PlanOnPlot): PlanNeed {
  const { plot, plan, days, likelyDays, weekStartOn } = input
  const common = {
    plan: domainPlan(plan),
    weekStartsOn: weekStartOn,
    availableMmPerM: soilByKey(plot.soil)!.availableMmPerM.likely,
    efficiency: efficiencyOf(plot),
  }
  const watered = likelyDays.map((day) => ({ ...day, irrigationMm: irrigationMm(input, day.date) }))
  return {
    plan,
    crop: cropByKey(plan.cropKey)!,
    result: weeklyNeed({ ...common, days }),
    // Seed is put into a moist bed, so the balance starts full on the day of sowing: common practice, no source.
    stress: irrigationNeed({ ...common, days: watered, startDepletionMm: 0 }),
  }
}

export function efficiencyOf(plot: Plot): Range {
  return applicationEfficiency({ method: irrigationMethodByKey(plot.method)! })
}

/** Water given to a plot is taken as spread evenly over the crops that stood on it that day. */
function irrigationMm({ plot, given, neighbours }: PlanOnPlot, date: CalendarDate): number {
  const deliveredM3 = given.reduce((sum, one) => (one.onDate === date ? sum + one.volumeM3 : sum), 0)
  if (deliveredM3 === 0) return 0
  const standing = neighbours.filter((plan) => plan.sownOn <= date && (plan.endedOn === null || plan.endedOn >= date))
  const areaM2 = standing.reduce((sum, plan) => sum + plan.areaM2, 0)
  return areaM2 > 0 ? netIrrigationMm({ deliveredM3, areaM2, efficiency: efficiencyOf(plot).likely }) : 0
}

function plotNeed(plot: Plot, plans: PlanNeed[], toCome: CalendarDate[]): PlotNeed {
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
