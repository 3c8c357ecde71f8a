import { addDays, type CalendarDate, daysBetween } from '../../../domain/calendar.ts'
import type { PlantingWater } from '../../../domain/crops/planting/plantable-area.ts'
import {
  liftedAreaM2,
  type PlantableArea,
  plantableAreaM2,
  USUAL_VEGETABLES,
} from '../../../domain/crops/planting/plantable-area.ts'
import { weeklyGrossM3 } from '../../../domain/crops/season/need.ts'
import type { Id } from '../../../domain/id.ts'
import type { Group } from '../../../domain/people/group.ts'
import { sum } from '../../../domain/sum.ts'
import { addRanges, type Range } from '../../../domain/units.ts'
import { needsByWeir } from '../../../domain/water/path/needs.ts'
import { storageModel } from '../../../domain/water/path/store.ts'
import { drainableStorageM3 } from '../../../domain/water/sand/storage.ts'
import { kept } from '../../book/kept-answers.ts'
import type { Database } from '../../database/connection.ts'
import { type CannotSayReason, missingFor, type WaterState, waterStates } from '../../water/storage/state.ts'
import { listPumps } from '../../works/pump/store.ts'
import { type OutletsOf, plotOutlets } from '../../works/pump/weirs-store.ts'
import type { PlanSeason, SeasonNeeds } from '../season/need.ts'
import { weeklyLift, weeklyLiftByPump } from '../season/weekly-lift.ts'
import { secondLookOn } from './store.ts'

/** The water of one weir for a season's planting. */
export interface WeirForPlanting {
  state: WaterState
  cannotSay: CannotSayReason[]
  /** Null where it cannot be said or no pump draws from it though others do; then it counts as nothing. */
  water: PlantingWater | null
  /** What its pumps lift in each week from today on, m3; null where nobody pumps at all. */
  liftM3: number[] | null
  /** The same for each of them by itself. */
  pumps: { number: number; name: string; liftM3: number[] }[]
}

export interface WaterForPlanting {
  weirs: WeirForPlanting[]
  outletsOf: OutletsOf
  /** From today to the late date of rain: steps of seven days that begin today, whatever weeks the group has. */
  weeks: number
  isKnown: boolean
}

/** What each weir can give a season's crops, as the path of its store will be asked, and what its pumps lift. */
export function plantingWater(db: Database, asked: WaterAsked): Promise<WaterForPlanting> {
  return kept(db, 'water for planting', asked, () => reckonPlantingWater(db, asked))
}

interface WaterAsked {
  group: Group
  on: CalendarDate
}

async function reckonPlantingWater(db: Database, { group, on }: WaterAsked): Promise<WaterForPlanting> {
  const states = await waterStates(db, { on })
  const pumps = await listPumps(db, group.seasonEndOn)
  const lateRainOn = states[0]?.lateRainOn ?? on
  const weeks = Math.max(1, Math.ceil(daysBetween(on, lateRainOn) / 7))
  const weirs: WeirForPlanting[] = []
  for (const state of states) {
    const isPumped = pumps.length === 0 || pumps.some((pump) => pump.weirId === state.weir.id)
    const lift = await weeklyLift(db, group, state.weir.id)
    const byWeek = (of: (fromOn: CalendarDate, days: number) => number | null) =>
      Array.from({ length: weeks }, (_, week) => of(addDays(on, 7 * week), 7) ?? 0)
    const liftM3 = byWeek(lift)
    const byPump = await weeklyLiftByPump(db, group, state.weir.id)
    weirs.push({
      state,
      cannotSay: missingFor(state),
      water: isPumped ? waterOf(state) : null,
      liftM3: pumps.length > 0 ? liftM3 : null,
      pumps: byPump.map(({ pump, lift: own }) => ({ number: pump.number, name: pump.name, liftM3: byWeek(own) })),
    })
  }
  const isKnown = weirs.some(({ water }) => water !== null)
  return { weirs, outletsOf: await plotOutlets(db, group.seasonEndOn), weeks, isKnown }
}

function waterOf(state: WaterState): PlantingWater | null {
  const { storage, body, loss, offTakeLevelM, dailyDrinkingM3, lateRainOn, on, extraWeeks, rise } = state
  if (!body || !loss || offTakeLevelM === null || storage.cannotSay) return null
  if (dailyDrinkingM3 === null || lateRainOn === null) return null
  const { waterLevelM, levelErrorCm } = storage
  const caseOf = (curve: 'lowM3' | 'likelyM3' | 'highM3', errorSign: number) => ({
    store: storageModel({ body, offTakeLevelM, levelErrorCm, loss, rise: rise?.rise ?? 1, curve }),
    storedM3: drainableStorageM3({ body, waterLevelM: waterLevelM + (errorSign * levelErrorCm) / 100 })[curve],
  })
  const cases = { low: caseOf('lowM3', -1), likely: caseOf('likelyM3', 0), high: caseOf('highM3', 1) }
  return { fromOn: on, lateRainOn, extraWeeks, dailyDrinkingM3, cases }
}

/** What a square metre asks for, by week and in all. */
export interface Mix {
  needsM3PerM2: number[]
  /** To the harvest, m3. */
  seasonM3PerM2: Range
}

interface WeirCeiling {
  weir: WaterState['weir']
  area: PlantableArea
  mix: Mix
  /** What each of its pumps lifts enough for by itself, drinking water left aside. */
  pumps: { number: number; name: string; mostM2: number }[]
}

/** The ground that the water carries of what is declared, or of garden vegetables while nothing is. */
export interface Ceiling {
  basis: 'declared' | 'usual'
  declaredM2: number
  firstDeclaredM2: number
  secondDeclaredM2: number
  needM3: Range
  needM3PerM2: Range
  weirs: WeirCeiling[]
  firstTrancheM2: number
  secondTrancheM2: number
  highM2: number
  /** What is declared with the first tranche, as a part of its ceiling; null where the ceiling is nothing. */
  usedFraction: number | null
}

/** Null while the water or the weather cannot be said. */
export function ceilingOf(water: WaterForPlanting, season: SeasonNeeds): Ceiling | null {
  if (!water.isKnown || !season.months) return null
  const plans = season.plans.filter(({ need }) => need.netMm > 0)
  const usual = usualMix(water.weeks)
  const group = plans.length > 0 ? mixOf(plans, water, () => 1) : usual
  const weirs = water.weirs.flatMap((one): WeirCeiling[] => {
    if (!one.water) return []
    const partOf = weirPart(water, one.state.weir.id)
    const own = plans.filter((plan) => partOf(plan) > 0)
    const mix = own.length > 0 ? mixOf(own, water, partOf) : group
    const pumps = one.pumps.map(({ number, name, liftM3 }) => {
      const mostM2 = liftedAreaM2({ needsM3PerM2: mix.needsM3PerM2, liftM3 })
      return { number, name, mostM2 }
    })
    return [{ weir: one.state.weir, area: carried(one, mix), mix, pumps }]
  })
  const areaOf = (of: typeof plans) => sum(of, ({ areaM2 }) => areaM2)
  const declaredM2 = areaOf(plans)
  const secondDeclaredM2 = areaOf(plans.filter(({ plan }) => plan.tranche === 2))
  const firstDeclaredM2 = declaredM2 - secondDeclaredM2
  const firstTrancheM2 = sum(weirs, ({ area }) => area.firstTrancheM2)
  return {
    basis: plans.length > 0 ? 'declared' : 'usual',
    declaredM2,
    firstDeclaredM2,
    secondDeclaredM2,
    needM3: times(group.seasonM3PerM2, declaredM2),
    needM3PerM2: group.seasonM3PerM2,
    weirs,
    firstTrancheM2,
    secondTrancheM2: sum(weirs, ({ area }) => area.secondTrancheM2),
    highM2: sum(weirs, ({ area }) => area.highM2),
    usedFraction: firstTrancheM2 > 0 ? firstDeclaredM2 / firstTrancheM2 : null,
  }
}

const NONE: PlantableArea = {
  firstTrancheM2: 0,
  secondTrancheM2: 0,
  likelyM2: 0,
  highM2: 0,
  relativeErrorFraction: null,
  method: 'nothing-left',
  heldBy: 'water',
}

/** The ground of one mix that a weir carries, beside crops that are given in full. */
export function carried({ water, liftM3 }: WeirForPlanting, mix: Mix, besideM3?: readonly number[]): PlantableArea {
  // What is sown after the late date of rain asks nothing of the weir.
  if (!water || sum(mix.needsM3PerM2) === 0) return NONE
  const { low, likely, high } = mix.seasonM3PerM2
  const needParts = { low: low / likely, likely: 1, high: high / likely }
  return plantableAreaM2({
    water,
    needsM3PerM2: mix.needsM3PerM2,
    needParts,
    liftM3,
    ...(besideM3 ? { besideM3 } : {}),
  })
}

/** The part of a plan that stands on a weir, by its plot's outlet flow; all of it where no plot has an outlet yet. */
export function weirPart({ outletsOf, weirs }: WaterForPlanting, weirId: Id<'weir'>): (plan: PlanSeason) => number {
  return ({ plot }) => {
    const outlets = outletsOf(plot)
    if (outlets.length === 0) return weirs.length === 1 ? 1 : 0
    return needsByWeir({ plots: [{ needsM3: [1], outlets }] }).get(weirId)?.[0] ?? 0
  }
}

/** What the declared crops of a weir ask for by week, m3. */
export function declaredM3(
  plans: readonly PlanSeason[],
  { weirs, weeks }: WaterForPlanting,
  partOf: (plan: PlanSeason) => number,
): number[] {
  const fromOn = weirs[0]!.state.on
  const byPlan = plans.map((one) => {
    const { need, areaM2, efficiency } = one
    return weeklyGrossM3({ days: need.days, areaM2: areaM2 * partOf(one), efficiency, fromOn, weeks })
  })
  return Array.from({ length: weeks }, (_, week) => sum(byPlan, (weeksM3) => weeksM3[week]!))
}

function mixOf(plans: readonly PlanSeason[], water: WaterForPlanting, partOf: (plan: PlanSeason) => number): Mix {
  const areaM2 = sum(plans, (one) => one.areaM2 * partOf(one))
  const all = addRanges(plans.map((one) => times(one.need.grossM3PerM2, one.areaM2 * partOf(one))))
  return {
    needsM3PerM2: declaredM3(plans, water, partOf).map((m3) => m3 / areaM2),
    seasonM3PerM2: times(all, 1 / areaM2),
  }
}

function usualMix(weeks: number): Mix {
  const { seasonM3PerM2, weeks: usualWeeks } = USUAL_VEGETABLES
  const needsM3PerM2 = Array.from({ length: Math.min(weeks, usualWeeks) }, () => seasonM3PerM2.likely / usualWeeks)
  return { needsM3PerM2, seasonM3PerM2 }
}

function times({ low, likely, high }: Range, factor: number): Range {
  return { low: low * factor, likely: likely * factor, high: high * factor }
}

/** When to look at the level again: as the group settled it, else half-way through the season. Common practice, no source. */
export async function secondLook(db: Database, group: Group): Promise<{ on: CalendarDate; settled: boolean }> {
  const settled = await secondLookOn(db, group.seasonStartOn)
  const half = Math.round(daysBetween(group.seasonStartOn, group.seasonEndOn) / 2)
  return settled ? { on: settled, settled: true } : { on: addDays(group.seasonStartOn, half), settled: false }
}

/** Its day is to come, has come, or every weir that counts was read on it or since. */
export function stateOfLook(lookOn: CalendarDate, { weirs }: WaterForPlanting): 'ahead' | 'due' | 'done' {
  const counted = weirs.filter(({ water }) => water !== null).map(({ state }) => state)
  if (counted.every(({ on }) => on < lookOn)) return 'ahead'
  return counted.every(({ reading }) => reading && reading.readOn >= lookOn) ? 'done' : 'due'
}
