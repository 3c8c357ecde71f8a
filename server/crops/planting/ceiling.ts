import { addDays, type CalendarDate, daysBetween } from '../../../domain/calendar.ts'
import { type PlantableArea, plantableAreaM2 } from '../../../domain/crops/planting/plantable-area.ts'
import type { Group } from '../../../domain/people/group.ts'
import { sum } from '../../../domain/sum.ts'
import { addRanges, type Range } from '../../../domain/units.ts'
import type { Database } from '../../database/connection.ts'
import { type CannotSayReason, missingFor, type WaterState, waterStates } from '../../water/storage/state.ts'
import type { SeasonNeeds } from '../season/need.ts'
import { secondLookOn } from './store.ts'

/** The water of one weir for a season's planting; null parts where it cannot be said, and then it counts as nothing. */
interface WeirForPlanting {
  state: WaterState
  cannotSay: CannotSayReason[]
  storeM3: Range | null
  reserveM3: Range
  lossM3: Range
}

export interface PlantingWater {
  weirs: WeirForPlanting[]
  /** Null while not one weir can be said. */
  total: { storeM3: Range; reserveM3: Range; lossM3: Range } | null
}

/**
 * Doubts about what people drink (heads and litres) and about the loss, which grows less as the level sinks, so that its
 * low end lies far below. As parts; common practice, no source.
 */
const DRINKING_DOUBT = 0.1
const LOSS_LOW = 0.5
const LOSS_HIGH = 1.2

/** What each weir can give a season's crops: above the off-take, with the drinking water and the loss up to the late rain apart. */
export async function plantingWater(
  db: Database,
  { group, on }: { group: Group; on: CalendarDate },
): Promise<PlantingWater> {
  const weirs = (await waterStates(db, { group, on })).map(forPlanting)
  const counted = weirs.flatMap((weir) => (weir.storeM3 ? [{ ...weir, storeM3: weir.storeM3 }] : []))
  const total = {
    storeM3: addRanges(counted.map((weir) => weir.storeM3)),
    reserveM3: addRanges(counted.map((weir) => weir.reserveM3)),
    lossM3: addRanges(counted.map((weir) => weir.lossM3)),
  }
  return { weirs, total: counted.length > 0 ? total : null }
}

function forPlanting(state: WaterState): WeirForPlanting {
  const cannotSay = missingFor(state)
  const { storage, dailyDrinkingM3, dailyLossM3, lateRainOn, on } = state
  const nothing = { low: 0, likely: 0, high: 0 }
  if (cannotSay.length > 0 || storage.cannotSay || dailyDrinkingM3 === null || lateRainOn === null) {
    return { state, cannotSay, storeM3: null, reserveM3: nothing, lossM3: nothing }
  }
  const days = Math.max(0, daysBetween(on, lateRainOn))
  const drunk = dailyDrinkingM3 * days
  const lost = Math.max(0, dailyLossM3) * days
  const { lowM3, likelyM3, highM3 } = storage.available
  return {
    state,
    cannotSay,
    storeM3: { low: lowM3, likely: likelyM3, high: highM3 },
    reserveM3: { low: drunk * (1 - DRINKING_DOUBT), likely: drunk, high: drunk * (1 + DRINKING_DOUBT) },
    lossM3: { low: lost * LOSS_LOW, likely: lost, high: lost * LOSS_HIGH },
  }
}

/** What the declared crops need together, and the ground that the water carries of the same mix. */
export interface Ceiling {
  declaredM2: number
  firstDeclaredM2: number
  secondDeclaredM2: number
  needM3: Range
  needM3PerM2: Range
  area: PlantableArea
  /** What is declared with the first tranche, as a part of its ceiling; null where the ceiling is nothing. */
  usedFraction: number | null
}

/** Null while there is nothing declared or the water or the weather cannot be said. */
export function ceilingOf(water: PlantingWater, season: SeasonNeeds): Ceiling | null {
  const plans = season.plans.filter(({ need }) => need.netMm > 0)
  if (!water.total || plans.length === 0) return null
  const areaOf = (of: typeof plans) => sum(of, ({ areaM2 }) => areaM2)
  const declaredM2 = areaOf(plans)
  const needM3 = addRanges(plans.map(({ areaM2, need }) => times(need.grossM3PerM2, areaM2)))
  const needM3PerM2 = times(needM3, 1 / declaredM2)
  const area = plantableAreaM2({ ...water.total, seasonNeedM3PerM2: needM3PerM2 })
  const secondDeclaredM2 = areaOf(plans.filter(({ plan }) => plan.tranche === 2))
  const firstDeclaredM2 = declaredM2 - secondDeclaredM2
  const usedFraction = area.firstTrancheM2 > 0 ? firstDeclaredM2 / area.firstTrancheM2 : null
  return { declaredM2, firstDeclaredM2, secondDeclaredM2, needM3, needM3PerM2, area, usedFraction }
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
