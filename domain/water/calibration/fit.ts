import type { M3 } from '../../units.ts'
import type { BalanceStretch } from '../balance/stretches.ts'
import type { SandBody } from '../sand/body.ts'
import { drainableStorageM3 } from '../sand/storage.ts'

/** Dry stretches that follow each other without a gap: one more level than stretches. */
export interface FallRun {
  levelsM: number[]
  stretches: { days: number; netDrawnM3: M3 }[]
}

/** Chains dry stretches; a wet or unreckoned one ends a run. */
export function dryRuns(stretches: readonly CalibrationStretch[]): FallRun[] {
  const runs: FallRun[] = []
  let endsOn = ''
  for (const stretch of stretches) {
    if (stretch.kind !== 'dry') continue
    if (stretch.fromOn !== endsOn) runs.push({ levelsM: [stretch.openingLevelM], stretches: [] })
    const run = runs.at(-1)!
    const netDrawnM3 = stretch.drawnM3 + stretch.spilledM3 - stretch.leakFromAboveM3 - stretch.spillFromAboveM3
    run.levelsM.push(stretch.closingLevelM)
    run.stretches.push({ days: stretch.days, netDrawnM3 })
    endsOn = stretch.toOn
  }
  return runs
}

export interface BandFit {
  edgesM: number[]
  /** By band, lowest first: how many times the present curve's rise. */
  factors: number[]
  standardErrors: number[]
  lossCmPerDay: number
  lossStandardErrorCmPerDay: number
  residualCm: number
  missesSquaredCm2: number
}

/** A careful reading errs by about a centimetre; a fit that looks better than that is luck. */
const LEAST_READING_ERROR_CM = 1

/**
 * Fits the levels themselves, since their reading is what errs and the pumped volume is nearly sure: from a level at the
 * start of each run, every day takes its volume through the factored curve and the loss off the level. Unknown are the
 * logarithms of the factors, the loss and the starting levels; least squares by Gauss-Newton steps, held back while they
 * do not improve (Levenberg 1944, Marquardt 1963); standard errors from the inverse of the normal matrix.
 * Null when there are too few readings or the matrix cannot be inverted.
 */
export function fitBands({
  body,
  runs,
  edgesM,
}: {
  body: SandBody
  runs: FallRun[]
  edgesM: number[]
}): BandFit | null {
  const curve = gridCurve(body)
  const bands = edgesM.length - 1
  const observedM = runs.flatMap((run) => run.levelsM)
  let values = [...new Array<number>(bands).fill(0), 0, ...runs.map((run) => run.levelsM[0]!)]
  const spare = observedM.length - values.length
  if (spare < 1) return null
  const predict = (at: number[]) => predictedLevelsM(curve, runs, edgesM, at)
  let misses = missesCm(observedM, predict(values))
  let damping = 1e-3
  for (let step = 0; step < 60; step++) {
    const slopes = slopesOf(predict, values)
    const change = solve(
      normalMatrix(slopes, damping),
      slopes.map((column) => dot(column, misses)),
    )
    if (!change) return null
    const tried = values.map((value, i) => value + change[i]!)
    const triedMisses = missesCm(observedM, predict(tried))
    const gained = dot(misses, misses) - dot(triedMisses, triedMisses)
    damping = gained > 0 ? Math.max(damping / 10, 1e-12) : damping * 10
    if (gained > 0) [values, misses] = [tried, triedMisses]
    if (damping > 1e9 || (gained > 0 && gained < 1e-9 * dot(triedMisses, triedMisses))) break
  }
  const residualCm = Math.sqrt(dot(misses, misses) / spare)
  const errors = standardErrors(slopesOf(predict, values), Math.max(residualCm, LEAST_READING_ERROR_CM))
  if (!errors) return null
  const factors = values.slice(0, bands).map(Math.exp)
  return {
    edgesM,
    factors,
    standardErrors: factors.map((factor, i) => factor * errors[i]!),
    lossCmPerDay: values[bands]!,
    lossStandardErrorCmPerDay: errors[bands]!,
    residualCm,
    missesSquaredCm2: dot(misses, misses),
  }
}

interface GridCurve {
  bedM: number
  stepM: number
  storedM3: Float64Array
}

const GRID_STEP_M = 0.005

function gridCurve(body: SandBody): GridCurve {
  const cells = Math.ceil((body.crestLevelM - body.bedLevelM) / GRID_STEP_M)
  const stepM = (body.crestLevelM - body.bedLevelM) / cells
  const storedM3 = Float64Array.from(
    { length: cells + 1 },
    (_, i) => drainableStorageM3({ body, waterLevelM: body.bedLevelM + i * stepM }).likelyM3,
  )
  return { bedM: body.bedLevelM, stepM, storedM3 }
}

/** The levels that the book should show, run after run, for given logarithms of factors, loss and starting levels. */
function predictedLevelsM(curve: GridCurve, runs: FallRun[], edgesM: number[], values: number[]): number[] {
  const bands = edgesM.length - 1
  const factored = factoredCurve(curve, edgesM, values.slice(0, bands).map(Math.exp))
  const lossM = values[bands]! / 100
  return runs.flatMap((run, index) => {
    let levelM = values[bands + 1 + index]!
    const levelsM = [levelM]
    for (const { days, netDrawnM3 } of run.stretches) {
      for (let day = 0; day < days; day++) {
        levelM = levelHolding(curve, factored, storedAt(curve, factored, levelM) - netDrawnM3 / days) - lossM
      }
      levelsM.push(levelM)
    }
    return levelsM
  })
}

function factoredCurve(curve: GridCurve, edgesM: number[], factors: number[]): Float64Array {
  const factored = new Float64Array(curve.storedM3.length)
  for (let i = 1; i < factored.length; i++) {
    const middleM = curve.bedM + (i - 0.5) * curve.stepM
    let band = 0
    while (band < factors.length - 1 && edgesM[band + 1]! < middleM) band++
    factored[i] = factored[i - 1]! + factors[band]! * (curve.storedM3[i]! - curve.storedM3[i - 1]!)
  }
  return factored
}

function storedAt(curve: GridCurve, factored: Float64Array, levelM: number): number {
  const place = Math.min(Math.max((levelM - curve.bedM) / curve.stepM, 0), factored.length - 1)
  const cell = Math.min(Math.floor(place), factored.length - 2)
  return factored[cell]! + (factored[cell + 1]! - factored[cell]!) * (place - cell)
}

function levelHolding(curve: GridCurve, factored: Float64Array, storedM3: M3): number {
  let [lower, upper] = [0, factored.length - 1]
  while (upper - lower > 1) {
    const middle = (lower + upper) >> 1
    if (factored[middle]! < storedM3) lower = middle
    else upper = middle
  }
  const gapM3 = factored[upper]! - factored[lower]!
  const part = gapM3 > 0 ? Math.min(Math.max((storedM3 - factored[lower]!) / gapM3, 0), 1) : 0
  return curve.bedM + (lower + part) * curve.stepM
}

function missesCm(observedM: number[], predictedM: number[]): number[] {
  return observedM.map((levelM, i) => 100 * (levelM - predictedM[i]!))
}

/** How each predicted level, in cm, moves with each unknown; one column an unknown. */
function slopesOf(predict: (values: number[]) => number[], values: number[]): number[][] {
  return values.map((value, i) => {
    const moved = (by: number) => predict(values.map((other, j) => (j === i ? value + by : other)))
    const [up, down] = [moved(1e-4), moved(-1e-4)]
    return up.map((levelM, row) => (100 * (levelM - down[row]!)) / 2e-4)
  })
}

/** The damping also holds an unknown that no reading feels yet, as a band that the first guess does not reach. */
function normalMatrix(columns: number[][], damping: number): number[][] {
  return columns.map((a, i) => columns.map((b, j) => dot(a, b) + (i === j ? damping * (dot(a, a) + 1) : 0)))
}

function standardErrors(columns: number[][], errorCm: number): number[] | null {
  const errors = columns.map(
    (_, i) =>
      solve(
        normalMatrix(columns, 0),
        columns.map((__, j) => (i === j ? 1 : 0)),
      )?.[i],
  )
  if (errors.some((variance) => variance === undefined || !(variance > 0))) return null
  return errors.map((variance) => errorCm * Math.sqrt(variance!))
}

/** Gauss elimination with row exchange; null for a matrix that is as good as singular. */
function solve(matrix: number[][], right: number[]): number[] | null {
  const rows = matrix.map((row, i) => [...row, right[i]!])
  const size = rows.length
  for (let pivot = 0; pivot < size; pivot++) {
    let best = pivot
    for (let row = pivot + 1; row < size; row++)
      if (Math.abs(rows[row]![pivot]!) > Math.abs(rows[best]![pivot]!)) best = row
    ;[rows[pivot], rows[best]] = [rows[best]!, rows[pivot]!]
    const head = rows[pivot]!
    if (!(Math.abs(head[pivot]!) > 1e-12 * Math.abs(matrix[best]![best]!))) return null
    for (let row = pivot + 1; row < size; row++) {
      const share = rows[row]![pivot]! / head[pivot]!
      for (let column = pivot; column <= size; column++) rows[row]![column]! -= share * head[column]!
    }
  }
  const found = new Array<number>(size).fill(0)
  for (let row = size - 1; row >= 0; row--) {
    const known = rows[row]!.slice(row + 1, size).reduce((sum, value, i) => sum + value * found[row + 1 + i]!, 0)
    found[row] = (rows[row]![size]! - known) / rows[row]![row]!
  }
  return found.every(Number.isFinite) ? found : null
}

function dot(a: readonly number[], b: readonly number[]): number {
  return a.reduce((sum, value, i) => sum + value * b[i]!, 0)
}

/** The columns of the season balance that the fit reads; only dry stretches under the present survey count. */
export type CalibrationStretch = Pick<
  BalanceStretch,
  | 'fromOn'
  | 'toOn'
  | 'days'
  | 'kind'
  | 'openingLevelM'
  | 'closingLevelM'
  | 'drawnM3'
  | 'spilledM3'
  | 'leakFromAboveM3'
  | 'spillFromAboveM3'
>
