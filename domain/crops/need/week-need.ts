import { addDays, type CalendarDate, datesFromTo } from '../../calendar.ts'
import { sum } from '../../sum.ts'
import { depthToVolumeM3, type M3, type Range } from '../../units.ts'
import { type Stage, stageOn } from '../crop/stages.ts'
import { type CannotSay, checkPlan, type Reason } from '../plan.ts'
import { checkAvailableWater } from '../root-zone/available-water.ts'
import type { RootZoneDay } from '../root-zone/balance.ts'
import {
  type DaysLeft,
  type RootZoneOutlook,
  type RootZoneOutlookInput,
  rootZoneOutlook,
  type Side,
} from '../root-zone/outlook.ts'
import { grossRangeM3, jerrycans } from './gross-range.ts'
import { seedBedMm } from './seed-bed.ts'

interface WeekNeedInput extends RootZoneOutlookInput {
  weekStartsOn: CalendarDate
  /** Days of the group's week: seven where left out. */
  weekDays?: number | undefined
  /** The most turns that the group gives a plot in a week: two where left out. */
  mostTurns?: number | undefined
}

export interface WeekNeed {
  known: true
  /** What the roots lack on the eve of the week, or the seed bed before sowing. */
  depletionMm: Range
  /** What the crop uses in the week without stress. */
  useMm: Range
  /** What the roots can draw without stress, and in all. */
  readilyMm: number
  totalMm: number
  /** Turns that carry it through the week without stress, 0 where nothing is needed; the first brings `firstTurnMm`, each other `laterTurnMm`. */
  turns: number
  firstTurnMm: number
  laterTurnMm: number
  netMm: Range
  grossM3: Range
  /** Part of the likely volume that the first turn brings. */
  firstTurnPart: number
  /** The most that one turn can bring before it only drains. */
  turnHoldsM3: M3
  jerrycans: Range
  /** From today on, with the water that is planned before the week and none in it. */
  daysLeft: DaysLeft
  /** Last day on which watering comes in time by the likely course; null where there is none to name or stress has begun. */
  latestOn: CalendarDate | null
  /** Of the first day of the week on which the crop stands; null where it does not. */
  stage: Stage | null
  /** Mean of the week's days on which the crop stands; 0 where it does not. */
  kc: number
  /** Null in a week without the crop, when no weather is asked for. */
  outlook: RootZoneOutlook | null
  /** Days of the last week without a written rain: each counts as a doubt, from nothing to a soaking. */
  missingRain: CalendarDate[]
  assumptions: Reason[]
}

/** One turn costs harvest and three gain little over two in the simulated valley of `tests/loop`. */
export const USUAL_MOST_TURNS = 2

/**
 * Water that a plot needs in a week: what its roots lack, not what the air took. From the depletion D on the eve of the week, the
 * unstressed use E of the week and the readily available water, all in mm: k = E / readily available, rounded up, turns within
 * the group's most; net = max(0, D + E - E / (2k)); the first turn brings D + E / (2k), each other E / k, none more than the roots
 * hold, and all together no more than carries the crop to its harvest. Nothing before sowing and after harvest; the sowing itself
 * finds a moist bed. The range carries soil, demand, losses and gaps. A day without a written rain may have brought nothing or a soaking. Where the book does not carry an
 * answer: the reasons.
 * Source: FAO-56 (1998), chapter 8, equations 82 to 88, with turns in the middle of k equal parts of the week: derived.
 */
export function weekNeed(input: WeekNeedInput): WeekNeed | CannotSay {
  checkPlan(input.plan)
  for (const mmPerM of Object.values(input.availableMmPerM)) checkAvailableWater(mmPerM)
  if (!standsInWeek(input)) return NOTHING
  const outlook = rootZoneOutlook(input)
  const missingRain = rainNotMeasured(input)
  const isRainUnknown = missingRain.length > MOST_RAIN_MISSING
  const reasons = [...(outlook.known ? [] : outlook.reasons), ...(isRainUnknown ? [rainReason(missingRain)] : [])]
  if (!outlook.known || reasons.length > 0) return { known: false, reasons }
  const sides = { [-1]: sideOf(input, outlook, -1), 0: sideOf(input, outlook, 0), 1: sideOf(input, outlook, 1) }
  const likely = sides[0]
  const turns = Math.max(1, Math.min(input.mostTurns ?? USUAL_MOST_TURNS, Math.ceil(likely.useMm / likely.readilyMm)))
  const given = { [-1]: turnsOf(sides[-1], turns), 0: turnsOf(likely, turns), 1: turnsOf(sides[1], turns) }
  const netMm = rangeOf((side) => given[side].netMm)
  const grossM3 = grossRangeM3({ netMm, efficiency: input.efficiency, areaM2: input.plan.areaM2 })
  const { firstTurnMm, laterTurnMm } = given[0]
  const depthMm = likely.totalMm / input.efficiency.likely
  return {
    known: true,
    depletionMm: rangeOf((side) => sides[side].depletionMm),
    useMm: rangeOf((side) => sides[side].useMm),
    readilyMm: likely.readilyMm,
    totalMm: likely.totalMm,
    turns: netMm.likely > 0 ? turns : 0,
    firstTurnMm,
    laterTurnMm,
    netMm,
    grossM3,
    firstTurnPart: netMm.likely > 0 ? firstTurnMm / netMm.likely : 0,
    turnHoldsM3: depthToVolumeM3({ depthMm, areaM2: input.plan.areaM2 }),
    jerrycans: jerrycans(grossM3),
    daysLeft: outlook.daysLeft,
    latestOn: latestOn(input.today, outlook.daysLeft.likely),
    stage: likely.days[0]!.stage,
    kc: sum(likely.days, (day) => day.kc) / likely.days.length,
    outlook,
    missingRain,
    assumptions: assumptionsOf(outlook),
  }
}

const NONE: Range = { low: 0, likely: 0, high: 0 }
const NOTHING: WeekNeed = {
  known: true,
  depletionMm: NONE,
  useMm: NONE,
  readilyMm: 0,
  totalMm: 0,
  turns: 0,
  firstTurnMm: 0,
  laterTurnMm: 0,
  netMm: NONE,
  grossM3: NONE,
  firstTurnPart: 0,
  turnHoldsM3: 0,
  jerrycans: NONE,
  daysLeft: { earliest: null, likely: null, latest: null },
  latestOn: null,
  stage: null,
  kc: 0,
  outlook: null,
  missingRain: [],
  assumptions: [],
}

function weekDates({ weekStartsOn, weekDays = 7 }: WeekNeedInput): CalendarDate[] {
  return datesFromTo(weekStartsOn, addDays(weekStartsOn, weekDays - 1))
}

function standsInWeek(input: WeekNeedInput): boolean {
  const { plan } = input
  return weekDates(input).some((date) => stageOn({ ...plan, stageDays: plan.crop.stageDays }, date) !== null)
}

/** A plot's week at one end of the doubt. */
interface SideOfWeek {
  days: RootZoneDay[]
  depletionMm: number
  useMm: number
  readilyMm: number
  totalMm: number
  /** Depth beyond which water would be left in the ground at harvest. */
  toHarvestMm: number
}

function sideOf(input: WeekNeedInput, outlook: RootZoneOutlook, side: Side): SideOfWeek {
  const { weekStartsOn } = input
  const run = outlook.runs[side]
  const dates = new Set(weekDates(input))
  const days = run.filter((day) => dates.has(day.date))
  const useOf = (of: readonly RootZoneDay[]) => sum(of, (day) => day.kc * outlook.etoMmPerDay[side])
  const before = run.findLast((day) => day.date < weekStartsOn)
  const atSowing = input.plan.plantedOn >= weekStartsOn
  const depletionMm = before?.depletionMm ?? (atSowing ? bedMm(input, side) : outlook.startMm[side])
  const lastMm = run.at(-1)!.readilyAvailableMm
  return {
    days,
    depletionMm,
    useMm: useOf(days),
    readilyMm: days[0]!.readilyAvailableMm,
    totalMm: days[0]!.totalAvailableMm,
    toHarvestMm: depletionMm + useOf(run.filter((day) => day.date >= weekStartsOn)) - lastMm,
  }
}

function bedMm(input: WeekNeedInput, side: Side): number {
  const { low, likely, high } = seedBedMm({ ...input, on: earlier(input.today, input.plan.plantedOn) })
  return side < 0 ? low : side > 0 ? high : likely
}

function earlier(one: CalendarDate, other: CalendarDate): CalendarDate {
  return one < other ? one : other
}

/** The turns of a week; the crop drinks on the day of a turn before a surplus drains, so a day's use is held beside the roots' store. */
function turnsOf(side: SideOfWeek, turns: number): { firstTurnMm: number; laterTurnMm: number; netMm: number } {
  const { depletionMm, useMm, totalMm, days } = side
  const mostMm = totalMm + useMm / days.length
  const firstMm = Math.min(mostMm, depletionMm + useMm / (2 * turns))
  const laterMm = Math.min(mostMm, useMm / turns)
  const wantedMm = firstMm + (turns - 1) * laterMm
  const netMm = Math.max(0, Math.min(wantedMm, side.toHarvestMm))
  const firstTurnMm = Math.min(firstMm, netMm)
  return { firstTurnMm, laterTurnMm: turns > 1 ? (netMm - firstTurnMm) / (turns - 1) : 0, netMm }
}

/** The ends in order, whichever run they came from. */
function rangeOf(pick: (side: Side) => number): Range {
  const likely = pick(0)
  return { low: Math.min(pick(-1), likely), likely, high: Math.max(pick(1), likely) }
}

/** With more days of the last week than these unwritten nobody can say what the ground holds. Own choice, no source. */
const MOST_RAIN_MISSING = 3

/** The days of the last week on which it may have rained unseen; none where the group says that an unwritten day was dry. */
function rainNotMeasured(input: WeekNeedInput): CalendarDate[] {
  if (input.unwrittenRain === 'none') return []
  const read = new Map(input.days.map((day) => [day.date, day.rainMm]))
  const weekAgo = addDays(input.today, -7)
  const [, fromOn] = [weekAgo, input.plan.plantedOn].sort() as [CalendarDate, CalendarDate]
  return datesFromTo(fromOn, addDays(input.today, -1)).filter((date) => (read.get(date) ?? null) === null)
}

function rainReason(missing: readonly CalendarDate[]): Reason {
  return { code: 'rain-not-measured', values: { days: missing.length, first: missing[0]! } }
}

/** Water given on a day relieves the next, since stress is taken from the depletion at the start of a day. */
function latestOn(today: CalendarDate, daysLeft: number | null): CalendarDate | null {
  return daysLeft === null || daysLeft < 1 ? null : addDays(today, daysLeft - 1)
}

function assumptionsOf({ expected, filled }: RootZoneOutlook): Reason[] {
  const found: Reason[] = []
  if (expected.from !== 'past-7-days') {
    found.push({ code: `demand-from-${expected.from}`, values: { daysUsed: expected.daysUsed } })
  }
  const withoutRain = filled.filter((day) => day.rain).length
  if (withoutRain > 0) found.push({ code: 'missing-rain-counts-nothing', values: { days: withoutRain } })
  return found
}
