import { addDays, type CalendarDate, datesFromTo } from '../../../domain/calendar.ts'
import type { Crop } from '../../../domain/crops/data/crops.ts'
import type { ExpectedDemand } from '../../../domain/crops/demand/expected-demand.ts'
import { type WeekNeed, weekNeed } from '../../../domain/crops/need/week-need.ts'
import type { CannotSay, Reason } from '../../../domain/crops/plan.ts'
import type { RootZoneDay } from '../../../domain/crops/root-zone/balance.ts'
import { type DaysLeft, type RootZoneOutlook, rootZoneOutlook } from '../../../domain/crops/root-zone/outlook.ts'
import type { Id } from '../../../domain/id.ts'
import type { Group } from '../../../domain/people/group.ts'
import { sum } from '../../../domain/sum.ts'
import { addRanges, type M3, type Range } from '../../../domain/units.ts'
import { daysOfWeek, wholeWeekDays } from '../../../domain/weeks.ts'
import { frozen, kept, lettingOthersIn } from '../../book/kept-answers.ts'
import type { Database } from '../../database/connection.ts'
import { listPlots, type Plot } from '../../people/plot/store.ts'
import { countUntyped, type Untyped } from '../../water/storage/untyped-store.ts'
import { cropPlans, type PlannedCrop, standsInWeek } from '../plan/store.ts'
import { bookBefore, daysAtPlot, type PlotGauge, type SeasonBook, seasonBook } from './book.ts'
import type { LocalCoefficient } from './local-coefficient.ts'
import { planGround, untypedOf } from './plan-water.ts'

export interface PlanNeed {
  plan: PlannedCrop
  crop: Crop
  result: CropNeed | CannotSay
  /** How long the water in the ground lasts from today on, with the turns that are agreed. */
  outlook: GroundLeft | CannotSay
  /** What the group turned on to bend the printed coefficients. */
  local: LocalCoefficient
}

/**
 * What is kept of a need and of what the ground holds: not the days that they were worked out from, three courses of two hundred days for each
 * crop, which with three hundred households took 100 MB for each week.
 */
interface CropNeed extends Omit<WeekNeed, 'outlook'> {
  /** Null in a week without the crop, when no weather is asked for. */
  expected: ExpectedDemand | null
  rainOfPastWeekMm: number
}

interface GroundLeft extends Pick<RootZoneOutlook, 'known' | 'daysLeft'> {
  /** The last day that is over; null for a crop that is not yet sown. */
  lastDay: RootZoneDay | null
  filledDays: number
}

/** How a plot takes the water of a week: so many turns, the first with this part of it, none with more than its roots hold. */
interface PlotTurns {
  count: number
  firstPart: number
  holdsM3: M3
}

export interface PlotNeed {
  plotId: Id<'plot'>
  need: { lowM3: M3; likelyM3: M3; highM3: M3 } | null
  /** Why there is no need to tell; empty where there is. */
  cannotSay: Reason[]
  /** Every crop that stands on the plot in that week. */
  plans: PlanNeed[]
  turns: PlotTurns
  /** Last day to water before the first of its crops suffers; null where that cannot be said or none is due. */
  latestOn: CalendarDate | null
  /** Days from today before the first of its crops suffers; null where one of them cannot be said. */
  daysLeft: DaysLeft | null
  /** Days of the last week without a written rain: its need carries nothing to a soaking for each. */
  missingRain: CalendarDate[]
  /** Days before the week that are still to come, counted without rain. */
  toCome: CalendarDate[]
  /** Agreed turns of its crops without a word: each counts as anything from nothing to its volume, likely all. */
  untyped: Untyped
  /** The rain gauge of the plot; null where the weather book's counts. */
  gauge: PlotGauge | null
  /** What the group settled on for reckoning, as it held in that week. */
  settings: SeasonBook['settings']
}

/**
 * What every plot needs in the week that starts on a day, all its crops together; a plot without a crop needs nothing.
 * A week is planned before it begins: with `today`, the days up to its eve that nobody can have read yet count without rain
 * and with the turns that are agreed for them.
 */
export function weeklyNeeds(db: Database, asked: WeekAsked): Promise<PlotNeed[]> {
  return kept(db, 'needs of a week', asked, () => reckonNeeds(db, asked))
}

interface WeekAsked {
  group: Group
  weekStartOn: CalendarDate
  today?: CalendarDate
}

async function reckonNeeds(
  db: Database,
  { group, weekStartOn, today: now = weekStartOn }: WeekAsked,
): Promise<PlotNeed[]> {
  const today = now < weekStartOn ? now : weekStartOn
  const plots = await listPlots(db, weekStartOn)
  const all = await cropPlans(db)
  const dates = daysOfWeek(weekStartOn, group)
  const standing = all.filter((plan) => standsInWeek(plan, dates))
  const fromOn = [addDays(today, -30), ...standing.map((plan) => plan.sownOn)].sort()[0]!
  const toOn = agreedUntil(now < weekStartOn ? weekStartOn : now, group)
  const book = await seasonBook(db, { place: group, fromOn, toOn, on: weekStartOn })
  const eve = bookBefore(book, weekStartOn)
  const weekDays = dates.length
  const found: PlotNeed[] = []
  for (const plot of plots) {
    await lettingOthersIn()
    const own = standing.filter((plan) => plan.plotId === plot.id)
    const needs = own.map((plan): PlanNeed => {
      const { gauge, local, ...ground } = planGround({ book: eve, plot, plan, plans: all, today })
      const outlook = rootZoneOutlook(planGround({ book, plot, plan, plans: all, today: now }))
      const mostTurns = book.settings.mostTurns?.turns
      const result = weekNeed({ ...ground, weekStartsOn: weekStartOn, weekDays, mostTurns })
      return { plan, crop: plan.crop!, local, outlook: groundLeft(outlook), result: cropNeed(result) }
    })
    const { days, gauge } = daysAtPlot(eve, plot.id)
    const read = new Set(days.flatMap((day) => (day.rainMm === null ? [] : day.date)))
    const toCome = datesFromTo(today, addDays(weekStartOn, -1)).filter((date) => !read.has(date))
    const untyped = countUntyped(own.length > 0 ? untypedOf(eve, plot.id, today) : [])
    // Frozen plot by plot: all at once, after the last, would keep everybody waiting.
    found.push(frozen({ ...plotNeed(plot, needs), untyped, toCome, gauge, settings: book.settings }))
  }
  return found
}

function cropNeed(need: WeekNeed | CannotSay): CropNeed | CannotSay {
  if (!need.known) return need
  const { outlook, ...told } = need
  const rainOfPastWeekMm = sum((outlook?.past ?? []).slice(-7), (day) => day.creditedRainMm)
  return { ...told, expected: outlook?.expected ?? null, rainOfPastWeekMm }
}

function groundLeft(outlook: RootZoneOutlook | CannotSay): GroundLeft | CannotSay {
  if (!outlook.known) return outlook
  const { known, daysLeft, past, filled } = outlook
  return { known, daysLeft, lastDay: past.at(-1) ?? null, filledDays: filled.length }
}

/** The last day to come whose agreed turns are counted: this week's and the next. */
export function agreedUntil(on: CalendarDate, group: Group): CalendarDate {
  return addDays(on, 2 * wholeWeekDays(on, group))
}

function plotNeed(plot: Plot, plans: PlanNeed[]): Omit<PlotNeed, 'untyped' | 'toCome' | 'gauge' | 'settings'> {
  const unknown = plans.flatMap((plan) => (plan.result.known ? [] : plan.result.reasons))
  const known = plans.flatMap((plan) => (plan.result.known ? [plan.result] : []))
  const total = addRanges(known.map((result) => result.grossM3))
  return {
    plotId: plot.id,
    need: unknown.length > 0 ? null : { lowM3: total.low, likelyM3: total.likely, highM3: total.high },
    cannotSay: [...new Map(unknown.map((reason) => [JSON.stringify(reason), reason])).values()],
    plans,
    turns: turnsOf(known, total),
    missingRain: [...new Set(known.flatMap(({ missingRain }) => missingRain))].sort(),
    ...firstStress(plans),
  }
}

/** The crops of a plot are watered together, as often as the thirstiest of them asks. */
function turnsOf(needs: readonly CropNeed[], total: Range): PlotTurns {
  const firstM3 = sum(needs, (need) => need.firstTurnPart * need.grossM3.likely)
  return {
    count: Math.max(0, ...needs.map((need) => need.turns)),
    firstPart: total.likely > 0 ? firstM3 / total.likely : 0,
    holdsM3: sum(needs, (need) => need.turnHoldsM3),
  }
}

/** One crop of which nothing is known hides the plot's last day, since it might be the first to suffer. */
function firstStress(plans: readonly PlanNeed[]): Pick<PlotNeed, 'latestOn' | 'daysLeft'> {
  const needs = plans.flatMap(({ result }) => (result.known ? [result] : []))
  const left = plans.flatMap(({ outlook }) => (outlook.known ? [outlook.daysLeft] : []))
  const isShort = needs.some((need) => need.daysLeft.likely === 0)
  const due = (end: keyof DaysLeft) => soonest(left.map((days) => days[end]))
  return {
    latestOn: isShort || needs.length < plans.length ? null : soonest(needs.map((need) => need.latestOn)),
    daysLeft:
      plans.length === 0 || left.length < plans.length
        ? null
        : { earliest: due('earliest'), likely: due('likely'), latest: due('latest') },
  }
}

function soonest<T extends number | string>(values: readonly (T | null)[]): T | null {
  return values.reduce((least, value) => (value !== null && (least === null || value < least) ? value : least), null)
}
