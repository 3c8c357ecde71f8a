import { InputError } from '../../input-error.ts'
import { sum } from '../../sum.ts'

interface Recession {
  kPerDay: number
  halfLifeDays: number
}

/**
 * Recession constant of a leak from two levels with no rain, flow or taking between:
 * k = ln((h1 - h0) / (h2 - h0)) / days, half-life ln 2 / k, h0 the level at which the leak stops.
 * Null when either level is at or below that. Below zero when the level rose.
 * Source: linear reservoir (Maillet 1905), any hydrology text.
 */
function recessionConstant({
  startLevelM,
  endLevelM,
  days,
  stopLevelM = 0,
}: {
  startLevelM: number
  endLevelM: number
  days: number
  stopLevelM?: number
}): Recession | null {
  if (!(startLevelM > stopLevelM && endLevelM > stopLevelM)) return null
  const kPerDay = Math.log((startLevelM - stopLevelM) / (endLevelM - stopLevelM)) / days
  return { kPerDay, halfLifeDays: Math.LN2 / kPerDay }
}

/** A rest: a stretch with the pump off, no rain and no flow, between two settled readings. */
export interface Rest {
  startLevelM: number
  endLevelM: number
  days: number
}

/** What a fall says: the sand loses, the banks give more than it loses, or its own error hides which. */
export type FallSense = 'falls' | 'banks-return' | 'cannot-tell'

/** Two standard errors: less than one time in forty chance alone looks like a return. */
const BELIEVED_BEYOND = 2

/**
 * A bank's return is believed only where the rise is beyond its own error, cm a day; unknown, it is not believed. A fall
 * needs no such proof, since to reckon with a loss is the safe side.
 */
export function senseOfFall(fallCmPerDay: number, errorCmPerDay: number | null): FallSense {
  if (fallCmPerDay >= 0) return 'falls'
  return errorCmPerDay !== null && -fallCmPerDay > BELIEVED_BEYOND * errorCmPerDay ? 'banks-return' : 'cannot-tell'
}

export interface RestFall {
  /** Below zero where the level rose by itself. */
  fallCmPerDay: number
  standardErrorCmPerDay: number | null
  rests: number
  restDays: number
  /** One reading errs by about a centimetre, a rest falls by one to four: five rests are the least that say anything. */
  isEnough: boolean
  sense: FallSense
  /** Recession from the same rests; null where no rest stayed above the level at which the leak stops. */
  recession: Recession | null
}

const RESTS_NEEDED = 5
const READING_CM = 1

/**
 * The fall without pumping, averaged over rests: all centimetres over all days, with the standard error of the ratio
 * between rests. Null without any rest. Source: ratio estimator, Cochran, Sampling Techniques, 3rd ed., eq. 6.13 (memory).
 */
export function fitRecession({ rests, stopLevelM }: { rests: readonly Rest[]; stopLevelM?: number }): RestFall | null {
  if (rests.length === 0) return null
  for (const { days } of rests) if (!(days > 0)) throw new InputError('days-not-above-zero', { days })
  const restDays = sum(rests, (rest) => rest.days)
  const fallsCm = rests.map((rest) => 100 * (rest.startLevelM - rest.endLevelM))
  const fallCmPerDay = sum(fallsCm) / restDays
  const squares = rests.reduce((sum, rest, i) => sum + (fallsCm[i]! - fallCmPerDay * rest.days) ** 2, 0)
  const spare = rests.length - 1
  const standardErrorCmPerDay = spare > 0 ? Math.sqrt((squares / spare) * rests.length) / restDays : null
  const leastErrorCmPerDay = (READING_CM * Math.sqrt(2 * spellsOf(rests))) / restDays
  const isEnough = rests.length >= RESTS_NEEDED
  const errorCmPerDay = isEnough ? Math.max(standardErrorCmPerDay ?? 0, leastErrorCmPerDay) : null
  return {
    fallCmPerDay,
    standardErrorCmPerDay,
    rests: rests.length,
    restDays,
    isEnough,
    sense: senseOfFall(fallCmPerDay, errorCmPerDay),
    recession: stopLevelM === undefined ? null : meanRecession(rests, stopLevelM),
  }
}

/** Rests that follow each other share a reading, whose error cancels: so many spells stand by themselves. */
function spellsOf(rests: readonly Rest[]): number {
  return rests.filter((rest, at) => rests[at - 1]?.endLevelM !== rest.startLevelM).length
}

/** Least squares through nothing of ln(h1 - h0) - ln(h2 - h0) on days, over the rests that can be used. */
function meanRecession(rests: readonly Rest[], stopLevelM: number): Recession | null {
  let [weighted, squared] = [0, 0]
  for (const rest of rests) {
    const one = recessionConstant({ ...rest, stopLevelM })
    if (!one) continue
    weighted += one.kPerDay * rest.days ** 2
    squared += rest.days ** 2
  }
  return squared > 0 ? { kPerDay: weighted / squared, halfLifeDays: (Math.LN2 * squared) / weighted } : null
}

export interface LossParts {
  fallCmPerDay: number
  /** The part that evaporates from the sand; in water level, so divided by the specific yield. */
  evaporationCmPerDay: number
  /** What remains: leak and seepage, or plants; below zero where the banks return water. */
  remainderCmPerDay: number
}

/** Parts the fall on rest days into evaporation from the sand and the rest, which is the leak. */
export function lossParts({
  fallCmPerDay,
  sandEvaporationMmPerDay,
  specificYield,
}: {
  fallCmPerDay: number
  sandEvaporationMmPerDay: number
  specificYield: number
}): LossParts {
  if (!(specificYield > 0 && specificYield < 1)) throw new InputError('specific-yield-out-of-range', { specificYield })
  const evaporationCmPerDay = sandEvaporationMmPerDay / 10 / specificYield
  return { fallCmPerDay, evaporationCmPerDay, remainderCmPerDay: fallCmPerDay - evaporationCmPerDay }
}
