import { type CalendarDate, daysBetween } from '../../calendar.ts'
import { InputError } from '../../input-error.ts'
import { sum } from '../../sum.ts'
import type { M3, Range } from '../../units.ts'
import type { StorageModel } from '../../water/path/store.ts'
import { largestShare } from '../../water/path/store-path.ts'

/** The water of one weir from a day on, by the low, the likely and the high curve. */
export interface PlantingWater {
  fromOn: CalendarDate
  lateRainOn: CalendarDate
  /** Weeks of drinking kept beyond that date. */
  extraWeeks: number
  dailyDrinkingM3: M3
  cases: Record<keyof Range, { store: StorageModel; storedM3: M3 }>
}

interface PlantableInput {
  water: PlantingWater
  /** Likely gross need of one square metre, m3, in the first week and in each one after it. */
  needsM3PerM2: readonly number[]
  /** How far that may be off, as parts of it: likely is 1. */
  needParts: Range
  /** Crops that are given in full beside, m3 by week. */
  besideM3?: readonly number[]
  /** What the weir's pumps lift in each week, m3; null where it has none. */
  liftM3?: readonly number[] | null
}

export interface PlantableArea {
  /** First tranche: safe on the cautious side. */
  firstTrancheM2: number
  /** Second tranche: what a later level may allow, up to the likely area. */
  secondTrancheM2: number
  likelyM2: number
  /** With the hopeful water and the low need; nothing is planned by it. */
  highM2: number
  relativeErrorFraction: number | null
  method: 'root-of-squares' | 'corner' | 'nothing-left'
  heldBy: 'water' | 'pump'
}

/**
 * What a square metre of garden vegetables under drip asks for in a season, m3, and over how many weeks: by which a ceiling
 * is said before anything is declared. Common practice, no source.
 */
export const USUAL_VEGETABLES: Readonly<{ seasonM3PerM2: Range; weeks: number }> = {
  seasonM3PerM2: { low: 0.4, likely: 0.6, high: 0.8 },
  weeks: 17,
}

/** Above this the root of squares no longer describes the doubt of a quotient. Common practice, no source. */
const LARGEST_RELATIVE_ERROR = 0.3
/** Heads and litres may be so much out. Common practice, no source. */
const DRINKING_DOUBT = 0.1

/**
 * How much ground one weir carries, m2, without rain to the late date of rain: the largest area with which the path of the
 * store, drinking and loss first, stays above its floor, and no more than the pumps lift in the thirstiest week. Doubts of
 * the water and of the need are combined as the root of squares; above 30 % the cautious area is the corner, low water with
 * high need. Small stores give small areas: nothing is softened. Source: `storePath`; the combining is common practice.
 * Throws InputError `season-need-not-above-zero`.
 */
export function plantableAreaM2(input: PlantableInput): PlantableArea {
  const { needsM3PerM2, needParts } = input
  if (!(sum(needsM3PerM2) > 0 && needParts.low > 0)) throw new InputError('season-need-not-above-zero')
  const likelyM2 = carriedM2(input, 'likely', 1)
  const off = (otherM2: number) => Math.abs(likelyM2 - otherM2) / likelyM2
  const corner = carriedM2(input, 'low', needParts.high)
  const most = pumpedM2(input)
  if (likelyM2 === 0) return capped({ ...nothing, highM2: carriedM2(input, 'high', needParts.low) }, most)
  const relative = Math.hypot(off(carriedM2(input, 'low', 1)), off(carriedM2(input, 'likely', needParts.high)))
  const above = Math.hypot(off(carriedM2(input, 'high', 1)), off(carriedM2(input, 'likely', needParts.low)))
  const method = relative <= LARGEST_RELATIVE_ERROR ? 'root-of-squares' : 'corner'
  const firstTrancheM2 = method === 'corner' ? corner : likelyM2 * (1 - relative)
  const highM2 = likelyM2 * (1 + above)
  return capped({ firstTrancheM2, likelyM2, highM2, relativeErrorFraction: relative, method }, most)
}

type Uncapped = Omit<PlantableArea, 'secondTrancheM2' | 'heldBy'>

const nothing: Omit<Uncapped, 'highM2'> = {
  firstTrancheM2: 0,
  likelyM2: 0,
  relativeErrorFraction: null,
  method: 'nothing-left',
}

/** The area that the path bears with one case of the water and so many times the likely need. */
function carriedM2({ water, needsM3PerM2, besideM3 }: PlantableInput, which: keyof Range, needPart: number): number {
  const { cases, fromOn, lateRainOn, extraWeeks } = water
  const needsM3 = needsM3PerM2.map((m3) => m3 * needPart)
  const drinkingPart = { low: 1 + DRINKING_DOUBT, likely: 1, high: 1 - DRINKING_DOUBT }[which]
  const path = {
    ...cases[which],
    weekStartOn: fromOn,
    lateRainOn,
    extraWeeks,
    dailyDrinkingM3: water.dailyDrinkingM3 * drinkingPart,
    needsM3,
    ...(besideM3 ? { givenM3: besideM3.map((m3) => m3 * needPart) } : {}),
  }
  // Crops are watered to the late date only; of its own week a day may be all that counts.
  const weeks = Math.max(1, Math.ceil(daysBetween(fromOn, lateRainOn) / 7))
  const counted = sum(needsM3.slice(0, weeks)) / 7
  return counted > 0 ? Math.max(0, largestShare(path, cases[which].storedM3 / counted)) : 0
}

/** What the pumps can bring in the thirstiest week, after drinking water and the crops beside. */
function pumpedM2({ water, needsM3PerM2, besideM3, liftM3 }: PlantableInput): number {
  if (!liftM3) return Number.POSITIVE_INFINITY
  const leftM3 = liftM3.map((m3, week) => m3 - 7 * water.dailyDrinkingM3 - (besideM3?.[week] ?? 0))
  return liftedAreaM2({ needsM3PerM2, liftM3: leftM3 })
}

/**
 * The ground, m2, for which a lift of so many m3 in each week is enough in the thirstiest one; without end where nothing is asked
 * for. Source: volume = need x area.
 */
export function liftedAreaM2(input: { needsM3PerM2: readonly number[]; liftM3: readonly number[] }): number {
  const areas = input.needsM3PerM2.map((needM3, week) =>
    needM3 > 0 ? Math.max(0, input.liftM3[week] ?? 0) / needM3 : Number.POSITIVE_INFINITY,
  )
  return Math.min(...areas)
}

function capped(area: Uncapped, mostM2: number): PlantableArea {
  const firstTrancheM2 = Math.min(area.firstTrancheM2, mostM2)
  const likelyM2 = Math.min(area.likelyM2, mostM2)
  return {
    ...area,
    firstTrancheM2,
    secondTrancheM2: likelyM2 - firstTrancheM2,
    likelyM2,
    highM2: Math.min(area.highM2, mostM2),
    heldBy: mostM2 < area.likelyM2 ? 'pump' : 'water',
  }
}
