import { sandEvaporationShare } from '../loss/sand-evaporation.ts'
import type { SandBody } from '../sand/body.ts'
import { likelyStorageM3 } from '../sand/storage.ts'
import type { FallRun } from './runs.ts'

/** One weir on an even grid of levels, from the bed to the crest, by its present curve. */
export interface GridCurve {
  bedM: number
  stepM: number
  storedM3: Float64Array
  /** Fall of the level in a day, m, where open water gave off all of its evaporation, and by a leak of the whole store. */
  openWaterM: number
  leakM: Float64Array
}

/** Grid, width and least width: own choice, no source. */
const GRID_STEP_M = 0.01
const LEAST_WIDTH = 0.02
/** So many metres of level share one look at the width of the body. */
const WIDTH_M = 0.1

/** The present curve of a body on the grid, m and m3, and what a day of open water, mm, or of a leak takes off the level. */
export function gridCurve(body: SandBody, openWaterMm: number): GridCurve {
  const heightM = body.crestLevelM - body.bedLevelM
  const cells = Math.ceil(heightM / GRID_STEP_M)
  const stepM = heightM / cells
  const stored = (levelM: number) => likelyStorageM3(body, levelM)
  const levels = Array.from({ length: cells + 1 }, (_, i) => body.bedLevelM + i * stepM)
  const fullM3 = stored(body.crestLevelM)
  const specificYield = body.layers[0]!.specificYield.likely
  const perMetreM3 = (levelM: number) => {
    const [lower, upper] = [Math.max(body.bedLevelM, levelM - WIDTH_M), Math.min(body.crestLevelM, levelM + WIDTH_M)]
    return Math.max((stored(upper) - stored(lower)) / (upper - lower), LEAST_WIDTH * (fullM3 / heightM))
  }
  return {
    bedM: body.bedLevelM,
    stepM,
    storedM3: Float64Array.from(levels, stored),
    openWaterM: openWaterMm / 1000 / specificYield,
    leakM: Float64Array.from(levels, (levelM) => (((levelM - body.bedLevelM) / heightM) * fullM3) / perMetreM3(levelM)),
  }
}

/** What is sought of a weir: how much each band of its curve truly holds, and what it loses. */
export interface Sought {
  /** Times the present curve's rise, by band from the bed up; all bands are equally high. */
  factors: readonly number[]
  /** Times the quoted curve, and times the depths at which it stands: fine sand draws from deeper. */
  evaporation: number
  dryingDepth: number
  /** Part of the whole store in a day when full; below zero where banks give. */
  leak: number
}

/** The levels that the book should show, run after run, from the level at the start of each. */
export function fallingLevelsM(curve: GridCurve, runs: readonly FallRun[], sought: Sought, startsM: readonly number[]) {
  const factored = factoredCurve(curve, sought.factors)
  const lossM = fallByLossM(curve, sought)
  return runs.flatMap((run, index) => {
    let levelM = startsM[index]!
    const levelsM = [levelM]
    for (const { days, netDrawnM3 } of run.stretches) {
      for (let day = 0; day < days; day++) {
        const afterM = levelHolding(curve, factored, at(curve, factored, levelM) - netDrawnM3 / days)
        levelM = afterM - at(curve, lossM, afterM)
      }
      levelsM.push(levelM)
    }
    return levelsM
  })
}

/** Fall of the level in a day by the losses alone, m, on the grid. */
export function fallByLossM({ stepM, openWaterM, leakM }: GridCurve, sought: Sought): Float64Array {
  const { evaporation, dryingDepth, leak } = sought
  return leakM.map((byLeakM, cell) => {
    const waterTableDepthM = ((leakM.length - 1 - cell) * stepM) / dryingDepth
    const share = sandEvaporationShare({ waterTableDepthM }) ?? 0
    return evaporation * share * openWaterM + leak * byLeakM
  })
}

/** The present curve, m3, with each band's rise times its factor. */
export function factoredCurve({ storedM3 }: GridCurve, factors: readonly number[]): Float64Array {
  const cells = storedM3.length - 1
  const factored = new Float64Array(cells + 1)
  for (let cell = 1; cell <= cells; cell++) {
    const band = Math.min(factors.length - 1, Math.floor(((cell - 0.5) / cells) * factors.length))
    factored[cell] = factored[cell - 1]! + factors[band]! * (storedM3[cell]! - storedM3[cell - 1]!)
  }
  return factored
}

/** A value of the grid at a level, in the unit of the grid (m or m3), straight between its cells. */
export function at({ bedM, stepM }: GridCurve, values: Float64Array, levelM: number): number {
  const place = Math.min(Math.max((levelM - bedM) / stepM, 0), values.length - 1)
  const cell = Math.min(Math.floor(place), values.length - 2)
  return values[cell]! + (values[cell + 1]! - values[cell]!) * (place - cell)
}

/** Below the bed the line goes on, so that too small a curve is felt as a miss. */
function levelHolding({ bedM, stepM }: GridCurve, factored: Float64Array, storedM3: number): number {
  if (storedM3 < 0) return bedM + (storedM3 / factored.at(-1)!) * stepM * (factored.length - 1)
  let [lower, upper] = [0, factored.length - 1]
  while (upper - lower > 1) {
    const middle = (lower + upper) >> 1
    if (factored[middle]! < storedM3) lower = middle
    else upper = middle
  }
  const gapM3 = factored[upper]! - factored[lower]!
  const part = gapM3 > 0 ? Math.min(Math.max((storedM3 - factored[lower]!) / gapM3, 0), 1) : 0
  return bedM + (lower + part) * stepM
}
