import { sum } from '../../sum.ts'

type FairnessBand = 'good' | 'fair' | 'poor'

interface Indicator {
  /** Null where nothing can be said. */
  value: number | null
  band: FairnessBand | null
}

/** The same spread with the standard deviation over n (`population`) and over n - 1 (`sample`); with few users the band can differ. */
interface SpreadIndicator {
  population: Indicator
  sample: Indicator
}

export interface FairnessIndicators {
  adequacy: Indicator
  efficiency: Indicator
  equity: SpreadIndicator
  dependability: SpreadIndicator
  /** Of delivered / required over the whole time, one figure a user. */
  jain: number | null
  gini: { value: number; smallSample: number | null } | null
}

/** Limits of good and of fair, on values rounded to two decimals, because the published bands leave gaps between. */
const AT_LEAST = { adequacy: [0.9, 0.8], efficiency: [0.85, 0.7] } as const
const AT_MOST = { equity: [0.1, 0.25], dependability: [0.1, 0.2] } as const

/**
 * How well the water that was due has been delivered. Rows are time steps, columns are users; pairs with nothing
 * required are left out. Adequacy: mean of min(1, delivered / required). Efficiency: mean of min(1, required /
 * delivered). Equity: mean over the steps of the coefficient of variation, among users, of delivered / required.
 * Dependability: mean over the users of the same among steps. The two spreads are better when small.
 * Source: Molden and Gates 1990, Journal of Irrigation and Drainage Engineering 116(6):804-823 (names and purpose
 * verified in the abstract; formulas and bands from memory).
 */
export function fairnessIndicators({
  requiredM3,
  deliveredM3,
}: {
  requiredM3: readonly (readonly number[])[]
  deliveredM3: readonly (readonly number[])[]
}): FairnessIndicators {
  const rows = pairRows(requiredM3, deliveredM3)
  const pairs = rows.flat().filter((pair) => pair.required > 0)
  const users = rows[0]?.map((_, user) => rows.map((row) => row[user]!)) ?? []
  const seasonRatios = users.flatMap((steps) => {
    const required = sum(steps.map((pair) => pair.required))
    const delivered = sum(steps.map((pair) => (pair.required > 0 ? pair.delivered : 0)))
    return required > 0 ? [delivered / required] : []
  })
  return {
    adequacy: atLeast('adequacy', meanOf(pairs.map((pair) => Math.min(1, pair.delivered / pair.required)))),
    efficiency: atLeast('efficiency', meanOf(pairs.map((pair) => Math.min(1, pair.required / pair.delivered)))),
    equity: spread('equity', rows),
    dependability: spread('dependability', users),
    jain: jainIndex(seasonRatios),
    gini: giniCoefficient(seasonRatios),
  }
}

/**
 * (sum x)^2 / (n sum x^2): 1 when all have the same, k/n when k of n share alike and the rest get nothing; null when nobody got any.
 * Source: Jain, Chiu and Hawe 1984, DEC-TR-301.
 */
function jainIndex(values: readonly number[]): number | null {
  const squares = sum(values.map((value) => value * value))
  return squares > 0 ? sum(values) ** 2 / (values.length * squares) : null
}

/**
 * sum (2i - n - 1) x_i / (n sum x) over the sorted values: 0 when all have the same. `smallSample` is multiplied by n/(n - 1).
 * Null when nobody got any. Source: "Gini Coefficient", MathWorld.
 */
function giniCoefficient(values: readonly number[]): { value: number; smallSample: number | null } | null {
  const total = sum(values)
  const count = values.length
  if (!(total > 0)) return null
  const sorted = [...values].sort((a, b) => a - b)
  const value = sum(sorted.map((each, index) => (2 * (index + 1) - count - 1) * each)) / (count * total)
  return { value, smallSample: count > 1 ? (value * count) / (count - 1) : null }
}

interface Pair {
  required: number
  delivered: number
}

function pairRows(required: readonly (readonly number[])[], delivered: readonly (readonly number[])[]): Pair[][] {
  const users = required[0]?.length ?? 0
  const fits = (rows: readonly (readonly number[])[]) =>
    rows.length === required.length && rows.every((row) => row.length === users && row.every((value) => value >= 0))
  if (!fits(required) || !fits(delivered)) throw new RangeError('required and delivered do not match step by step')
  return required.map((row, step) =>
    row.map((value, user) => ({ required: value, delivered: delivered[step]![user]! })),
  )
}

function spread(name: keyof typeof AT_MOST, groups: readonly (readonly Pair[])[]): SpreadIndicator {
  const ratios = groups.map((pairs) =>
    pairs.filter((pair) => pair.required > 0).map((pair) => pair.delivered / pair.required),
  )
  const meanVariation = (lostDegrees: 0 | 1) => {
    const variations = ratios.flatMap((each) => variationOf(each, lostDegrees) ?? [])
    return atMost(name, meanOf(variations))
  }
  return { population: meanVariation(0), sample: meanVariation(1) }
}

/** Standard deviation / mean; null with too few values, or when nothing was delivered to anyone. */
function variationOf(values: readonly number[], lostDegrees: 0 | 1): number | null {
  const mean = meanOf(values) ?? 0
  if (mean === 0 || values.length - lostDegrees < 1) return null
  const squares = sum(values.map((value) => (value - mean) ** 2))
  return Math.sqrt(squares / (values.length - lostDegrees)) / mean
}

function atLeast(name: keyof typeof AT_LEAST, value: number | null): Indicator {
  if (value === null) return { value, band: null }
  const [good, fair] = AT_LEAST[name]
  const rounded = toTwoDecimals(value)
  return { value, band: rounded >= good ? 'good' : rounded >= fair ? 'fair' : 'poor' }
}

function atMost(name: keyof typeof AT_MOST, value: number | null): Indicator {
  if (value === null) return { value, band: null }
  const [good, fair] = AT_MOST[name]
  const rounded = toTwoDecimals(value)
  return { value, band: rounded <= good ? 'good' : rounded <= fair ? 'fair' : 'poor' }
}

function toTwoDecimals(value: number): number {
  return Math.round(value * 100) / 100
}

function meanOf(values: readonly number[]): number | null {
  return values.length > 0 ? sum(values) / values.length : null
}
