import { dot, solveLinear } from '../../linear.ts'
import { sum } from '../../sum.ts'
import type { SandBody } from '../sand/body.ts'
import { fallingLevelsM, type GridCurve, gridCurve, type Sought } from './falling.ts'
import type { FallRun } from './runs.ts'

/**
 * What is expected of the sand before the readings speak, in logarithms of the factors: of all together, of the step from
 * band to band and of how much steps differ, since sand changes steadily rather than to and fro.
 */
const EXPECTED_FACTOR = {
  guessed: { all: 0.42, step: 0.25, bend: 0.5 },
  probed: { all: 0.2, step: 0.15, bend: 0.3 },
  calibrated: { all: 0.15, step: 0.1, bend: 0.2 },
}
type Expected = (typeof EXPECTED_FACTOR)[keyof typeof EXPECTED_FACTOR]
/** Likewise of its losses: times the quoted curve of evaporation; leak as a part of a full store in a day. */
const EXPECTED_EVAPORATION = { mean: 1, deviation: 0.4 }
/** In the logarithm of the depth at which the sand dries. */
const DRYING_DEPTH_DEVIATION = 0.3
const EXPECTED_LEAK = { mean: 0.0015, deviation: 0.0025 }
/** A careful reading errs by about a centimetre; a fit that looks better than that is luck. */
const LEAST_READING_ERROR_CM = 1
const FIRST_READING_ERROR_CM = 1.5
const BAND_M = 0.35
const [FEWEST_BANDS, MOST_BANDS] = [3, 8]
/** All volumes together may be off by the meter: 5 % nine times in ten. Common practice, no source. */
const METER_DEVIATION = 0.03

export interface StoreFit {
  sought: Sought
  curve: GridCurve
  /** Edges of the bands, bed to crest. */
  edgesM: number[]
  /** What the readings miss the fitted line by, cm, each standing for itself. */
  residualCm: number
  /** Deviation of a figure, by how it moves with the fitted values and the meters. */
  deviationOf: (figure: (sought: Sought) => number) => number
  /** The same if the losses were known. */
  deviationWithLossKnown: (figure: (sought: Sought) => number) => number
}

/** Evaporation, depth of drying and leak follow the factors among the values. */
const LOSSES = 3

interface FitInput {
  body: SandBody
  runs: readonly FallRun[]
  openWaterMm: number
}

/**
 * What the book's falls tell of a weir. The levels themselves are fitted, since their reading is what errs: from a level
 * at the start of each run, every day takes its volume through the curve and its loss off the level. Sought are factors
 * of the curve in bands from bed to crest, evaporation as times the quoted curve by depth, leak by head, and the starting
 * levels, together with what is expected of each beforehand, so that a band that no reading reached stays as doubtful as
 * it was. Errors carry the misfit of shape: they grow with what the readings miss the line by, and once more where
 * misses of neighbours go to one side (first-order correlation; Bayley and Hammersley 1946, memory). Null where
 * the normal matrix cannot be inverted. Source: least squares with prior knowledge, any textbook of estimation; expectations are ours.
 */
export function fitStore({ body, runs, openWaterMm }: FitInput): StoreFit | null {
  const curve = gridCurve(body, openWaterMm)
  const heightM = body.crestLevelM - body.bedLevelM
  const bands = Math.min(MOST_BANDS, Math.max(FEWEST_BANDS, Math.round(heightM / BAND_M)))
  const observedM = runs.flatMap(({ levelsM }) => levelsM)
  const soughtOf = (values: readonly number[]): Sought => ({
    factors: values.slice(0, bands).map(Math.exp),
    evaporation: values[bands]!,
    dryingDepth: Math.exp(values[bands + 1]!),
    leak: values[bands + 2]! / 100,
  })
  const levelMisses = (values: readonly number[]) => {
    const levelsM = fallingLevelsM(curve, runs, soughtOf(values), values.slice(bands + LOSSES))
    return levelsM.map((levelM, i) => 100 * (levelM - observedM[i]!))
  }
  const expected = EXPECTED_FACTOR[body.grade]
  const fitWith = (errorCm: number, start: readonly number[]) =>
    leastSquares(
      (values) => [...levelMisses(values).map((cm) => cm / errorCm), ...priorMisses(values, bands, expected)],
      start,
    )
  const start = [...new Array<number>(bands).fill(0), 1, 0, 0.1, ...runs.map(({ levelsM }) => levelsM[0]!)]
  const first = fitWith(FIRST_READING_ERROR_CM, start)
  if (!first) return null
  const errorCm = errorOf(levelMisses(first.values), runs)
  const fit = fitWith(errorCm, first.values)
  if (!fit) return null
  const moves = (figure: (sought: Sought) => number) => slopes((values) => figure(soughtOf(values)), fit.values)
  return {
    sought: soughtOf(fit.values),
    curve,
    edgesM: Array.from({ length: bands + 1 }, (_, i) => body.bedLevelM + (heightM * i) / bands),
    residualCm: Math.sqrt(sum(levelMisses(fit.values), (cm) => cm ** 2) / (observedM.length - runs.length)),
    deviationOf: (figure) => withMeters(moves(figure), fit, bands),
    deviationWithLossKnown: (figure) => withMeters(moves(figure), lossKnown(fit, bands), bands),
  }
}

function priorMisses(values: readonly number[], bands: number, expected: Expected): number[] {
  const logs = values.slice(0, bands)
  return [
    sum(logs) / bands / expected.all,
    ...logs.slice(1).map((log, i) => (log - logs[i]!) / expected.step),
    ...logs.slice(2).map((log, i) => (log - 2 * logs[i + 1]! + logs[i]!) / expected.bend),
    (values[bands]! - EXPECTED_EVAPORATION.mean) / EXPECTED_EVAPORATION.deviation,
    values[bands + 1]! / DRYING_DEPTH_DEVIATION,
    (values[bands + 2]! / 100 - EXPECTED_LEAK.mean) / EXPECTED_LEAK.deviation,
  ]
}

/** Deviation of a reading by what is missed, larger where neighbours miss to one side and so count as fewer readings. */
function errorOf(missesCm: readonly number[], runs: readonly FallRun[]): number {
  const spare = Math.max(1, missesCm.length - runs.length - 3)
  const squares = sum(missesCm, (cm) => cm ** 2)
  let [together, place] = [0, 0]
  for (const { levelsM } of runs) {
    for (let i = 1; i < levelsM.length; i++) together += missesCm[place + i]! * missesCm[place + i - 1]!
    place += levelsM.length
  }
  const alike = Math.min(0.7, Math.max(0, squares > 0 ? together / squares : 0))
  return Math.max(LEAST_READING_ERROR_CM, Math.sqrt(squares / spare)) * Math.sqrt((1 + alike) / (1 - alike))
}

function slopes(of: (values: readonly number[]) => number, values: readonly number[]): number[] {
  return values.map((value, i) => {
    const moved = (by: number) => of(values.map((other, j) => (j === i ? value + by : other)))
    return (moved(1e-4) - moved(-1e-4)) / 2e-4
  })
}

/** Meters that read too much make every band seem larger by the same part. */
function withMeters(moves: readonly number[], { covariance }: Pick<LeastSquares, 'covariance'>, bands: number): number {
  const variance = sum(moves.map((move, i) => move * sum(moves.map((other, j) => other * covariance[i]![j]!))))
  return Math.hypot(Math.sqrt(Math.max(0, variance)), METER_DEVIATION * sum(moves.slice(0, bands)))
}

/** Covariances that are left once evaporation and leak are known. */
function lossKnown({ covariance }: LeastSquares, bands: number): Pick<LeastSquares, 'covariance'> {
  const without = (from: number[][], known: number) =>
    from.map((row, i) => row.map((value, j) => value - (from[i]![known]! * from[known]![j]!) / from[known]![known]!))
  // Once one is known, the next is taken off what is left.
  let left = covariance
  for (let known = bands; known < bands + LOSSES; known++) left = without(left, known)
  return { covariance: left }
}

interface LeastSquares {
  values: number[]
  misses: number[]
  /** Inverse of the normal matrix: covariances of the values where every miss has a deviation of 1. */
  covariance: number[][]
}

/**
 * Values that make the squares of the misses least, by Gauss-Newton steps that are held back while they do not improve
 * (Levenberg 1944, Marquardt 1963), slopes by small differences. Null where the normal matrix cannot be inverted.
 */
function leastSquares(missesAt: (values: number[]) => number[], start: readonly number[]): LeastSquares | null {
  let values = [...start]
  let misses = missesAt(values)
  let damping = 1e-3
  for (let step = 0; step < 60; step++) {
    const slopes = slopesOf(missesAt, values)
    const right = slopes.map((column) => -dot(column, misses))
    const change = solveLinear(normalMatrix(slopes, damping), right)
    if (!change) return null
    const tried = values.map((value, i) => value + change[i]!)
    const triedMisses = missesAt(tried)
    const gained = dot(misses, misses) - dot(triedMisses, triedMisses)
    damping = gained > 0 ? Math.max(damping / 10, 1e-12) : damping * 10
    if (gained > 0) [values, misses] = [tried, triedMisses]
    if (damping > 1e9 || (gained > 0 && gained < 1e-9 * dot(triedMisses, triedMisses))) break
  }
  const covariance = inverse(normalMatrix(slopesOf(missesAt, values), 0))
  return covariance && { values, misses, covariance }
}

/** How each miss moves with each value; one column a value. */
function slopesOf(missesAt: (values: number[]) => number[], values: number[]): number[][] {
  return values.map((value, i) => {
    const moved = (by: number) => missesAt(values.map((other, j) => (j === i ? value + by : other)))
    const [up, down] = [moved(1e-4), moved(-1e-4)]
    return up.map((miss, row) => (miss - down[row]!) / 2e-4)
  })
}

function normalMatrix(columns: number[][], damping: number): number[][] {
  return columns.map((a, i) => columns.map((b, j) => dot(a, b) + (i === j ? damping * (dot(a, a) + 1) : 0)))
}

function inverse(matrix: number[][]): number[][] | null {
  const columns = matrix.map((_, i) =>
    solveLinear(
      matrix,
      matrix.map((__, j) => (i === j ? 1 : 0)),
    ),
  )
  return columns.some((column) => column === null) ? null : (columns as number[][])
}
