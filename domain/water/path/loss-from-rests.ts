import type { M3 } from '../../units.ts'
import type { Rest } from '../loss/recession.ts'
import { sandEvaporationShare } from '../loss/sand-evaporation.ts'
import type { LevelCurve } from './loss-by-level.ts'

/** What the loss at every level is fitted to: all rests of the season, and what open water gives off in its weather. */
export interface LossFromRests {
  rests: readonly Rest[]
  /** mm a day: 1.05 of the reference evapotranspiration (FAO-56, Table 12, shallow open water). */
  openWaterMm: number
}

/** Evaporation from the sand against the quoted curve, as a factor: what is expected of it before a rest has spoken. */
const EXPECTED_EVAPORATION = { mean: 1, deviation: 0.4 }
/** Leak of a full body, as a part of its store a day, likewise. Decided in simulated seasons, see docs/methods.md. */
const EXPECTED_LEAK = { mean: 0.0007, deviation: 0.0014 }
/** Deviation of a careful level reading, cm. Common practice, no source. */
const READING_CM = 1.5
/** How many deviations above the likeliest the loss is taken: 0 plans boldly, 1 with great care. */
const CAUTION = 0.25
/** Sand that was found to lose nothing still loses this part of what it holds in a day. Common practice, no source. */
const LEAST_PART = 0.0005
const AREA_STEP_M = 0.05

/** What one level loses in a day, m3. */
interface LossParts {
  evaporationM3: number
  leakM3: number
  /** A quarter of the deviation that is left. */
  cautionM3: number
  lossM3: number
}

/** What rests tell of a weir, for every level. */
export interface FittedLoss {
  /** Times the quoted curve for river sand. */
  evaporationTimes: number
  evaporationDeviation: number
  /** Part of a full store that leaks away in a day. */
  leakPart: number
  leakDeviation: number
  at: (levelM: number) => LossParts
}

/**
 * Loss at every level from the falls on rest days at several levels. Two things are looked for together:
 * evaporation, which follows depth and wet area by the quoted curve for river sand, and leak, which follows the head above
 * the bed. Few rests hardly move what is expected of both; as the water falls below where the sand dries it, the rests
 * tell the leak by itself. A quarter of the deviation that is left is added. Where banks gave water on rest days, neither
 * falls below zero, so that a gain is never counted on. Sources: Hellwig 1973 for evaporation by depth (memory, see
 * `sandEvaporationShare`); Darcy's law with a steady leak path; least squares with prior knowledge, any textbook of
 * estimation; the figures are ours, judged in simulated seasons.
 */
export function fittedLoss(curve: LevelCurve, { rests, openWaterMm }: LossFromRests): FittedLoss {
  const { bedLevelM, crestLevelM, storedM3 } = curve
  const evaporationM3 = (levelM: number) => evaporationByTableM3(curve, levelM, openWaterMm)
  const headM = (levelM: number) => Math.max(0, levelM - bedLevelM)
  const leakScale = storedM3(crestLevelM) / (crestLevelM - bedLevelM)
  const seen = rests.map((rest): SeenRest => {
    const levelM = Math.min(Math.max((rest.startLevelM + rest.endLevelM) / 2, bedLevelM + AREA_STEP_M), crestLevelM)
    const m3PerM = storePerMetre(curve, levelM)
    const lossM3 = (m3PerM * (rest.startLevelM - rest.endLevelM)) / rest.days
    const deviationM3 = Math.max(1e-9, (m3PerM * READING_CM * Math.SQRT2) / 100 / rest.days)
    return { evaporation: evaporationM3(levelM), head: headM(levelM), lossM3, deviationM3 }
  })
  const { evaporation, leak, variance } = fitted(seen, leakScale)
  return {
    evaporationTimes: evaporation,
    evaporationDeviation: Math.sqrt(variance(1, 0)),
    leakPart: leak / leakScale,
    leakDeviation: Math.sqrt(variance(0, 1)) / leakScale,
    at: (levelM) => {
      const [e, h] = [evaporationM3(levelM), headM(levelM)]
      const parts = { evaporationM3: evaporation * e, leakM3: leak * h, cautionM3: CAUTION * Math.sqrt(variance(e, h)) }
      const lostM3 = parts.evaporationM3 + parts.leakM3 + parts.cautionM3
      return { ...parts, lossM3: Math.max(lostM3, LEAST_PART * storedM3(levelM)) }
    },
  }
}

/** The same in m3 a day at a level. */
export function lossFromRestsM3(curve: LevelCurve, loss: LossFromRests): (levelM: number) => number {
  const { at } = fittedLoss(curve, loss)
  return (levelM) => at(levelM).lossM3
}

function evaporationByTableM3(curve: LevelCurve, levelM: number, openWaterMm: number): number {
  const share = sandEvaporationShare({ waterTableDepthM: Math.max(0, curve.crestLevelM - levelM) }) ?? 0
  return (share * openWaterMm * storePerMetre(curve, levelM)) / 1000 / curve.specificYield
}

/** Water that a metre of level holds there, m3. */
function storePerMetre({ bedLevelM, crestLevelM, storedM3 }: LevelCurve, levelM: number): number {
  const lower = Math.max(bedLevelM, levelM - AREA_STEP_M)
  const upper = Math.min(crestLevelM, levelM + AREA_STEP_M)
  return upper > lower ? (storedM3(upper) - storedM3(lower)) / (upper - lower) : 0
}

/** Normal equations of the two factors. */
interface Sums {
  ee: number
  eh: number
  hh: number
  e: number
  h: number
}

interface SeenRest {
  evaporation: number
  head: number
  lossM3: M3
  deviationM3: M3
}

/** Where the rests speak for far more leak than is expected, the expectation gives way and they count by themselves. */
function fitted(rests: readonly SeenRest[], leakScale: number) {
  const once = solved(sumsOf(rests, leakScale, EXPECTED_LEAK.deviation))
  const leakPart = once.leak / leakScale
  const isStrong = leakPart > EXPECTED_LEAK.mean + EXPECTED_LEAK.deviation
  return isStrong ? solved(sumsOf(rests, leakScale, leakPart)) : once
}

function sumsOf(rests: readonly SeenRest[], leakScale: number, leakDeviation: number): Sums {
  const ee = 1 / EXPECTED_EVAPORATION.deviation ** 2
  const hh = 1 / (leakDeviation * leakScale) ** 2
  const sums = { ee, eh: 0, hh, e: ee * EXPECTED_EVAPORATION.mean, h: hh * EXPECTED_LEAK.mean * leakScale }
  for (const { evaporation, head, lossM3, deviationM3 } of rests) {
    const weight = 1 / deviationM3 ** 2
    sums.ee += weight * evaporation ** 2
    sums.eh += weight * evaporation * head
    sums.hh += weight * head ** 2
    sums.e += weight * evaporation * lossM3
    sums.h += weight * head * lossM3
  }
  return sums
}

/** Neither of the two makes water: where one would, the other is fitted alone, and is nothing where it would too. */
function solved({ ee, eh, hh, e, h }: Sums) {
  const determinant = ee * hh - eh ** 2
  let evaporation = (hh * e - eh * h) / determinant
  let leak = (ee * h - eh * e) / determinant
  if (leak < 0) [evaporation, leak] = [Math.max(0, e / ee), 0]
  else if (evaporation < 0) [evaporation, leak] = [0, Math.max(0, h / hh)]
  const variance = (byEvaporation: number, byHead: number) =>
    Math.max(0, (hh * byEvaporation ** 2 - 2 * eh * byEvaporation * byHead + ee * byHead ** 2) / determinant)
  return { evaporation, leak, variance }
}
