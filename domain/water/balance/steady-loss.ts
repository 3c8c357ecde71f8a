import { dot, solveLinear } from '../../linear.ts'
import type { BalanceStretch } from './stretches.ts'

type Tool = 'yield' | 'levels' | 'meters'

export interface SteadyLoss {
  /** What leaves beyond the log and the settled loss, m3 a week over all dry stretches; below zero where more stands. */
  m3PerWeek: number
  /** The smallest that the group's tools could see by now, wrong one time in twenty. */
  leastSeenM3PerWeek: number
  isSeen: boolean
  /** The tool that twice as sharp would narrow that most, and to what. */
  bestTool: Tool
  leastSeenWithItM3PerWeek: number
  weeks: number
}

type DryStretch = Pick<
  BalanceStretch,
  'fromOn' | 'toOn' | 'days' | 'kind' | 'unexplainedM3' | 'toleranceParts' | 'openingErrorM3' | 'closingErrorM3'
>

/** One-sided, wrong one time in twenty; ranges are taken to hold nine times in ten, so they are as many deviations. */
const ONE_IN_TWENTY = 1.645
const STRETCHES_NEEDED = 4

/**
 * Whether the dry stretches of a weir together show a steady loss that none of them shows alone. One loss for each day is
 * sought by generalised least squares: the doubt of the yield moves all stretches alike, by the fall of each; a reading
 * errs once, at the end of one stretch and the beginning of the next; meters err each by themselves. It counts where it is
 * above zero by 1.645 of its deviations. Volumes in m3; null with fewer than four dry stretches. It cannot tell draws that
 * nobody logged from a leak or plants beyond the settled loss. Source: generalised least squares (Aitken 1935, memory).
 */
export function steadyLoss(stretches: readonly DryStretch[]): SteadyLoss | null {
  const dry = stretches.filter(({ kind }) => kind === 'dry')
  if (dry.length < STRETCHES_NEEDED) return null
  const now = estimate(dry, { yield: 1, levels: 1, meters: 1 })
  if (!now) return null
  const sharper = (['yield', 'levels', 'meters'] as const).map((tool) => {
    const found = estimate(dry, { yield: 1, levels: 1, meters: 1, [tool]: 0.5 })
    return { tool, least: ONE_IN_TWENTY * (found?.deviation ?? now.deviation) }
  })
  const best = sharper.toSorted((a, b) => a.least - b.least)[0]!
  const leastSeenM3PerWeek = ONE_IN_TWENTY * now.deviation
  return {
    m3PerWeek: now.m3PerWeek,
    leastSeenM3PerWeek,
    isSeen: now.m3PerWeek > leastSeenM3PerWeek,
    bestTool: best.tool,
    leastSeenWithItM3PerWeek: best.least,
    weeks: dry.reduce((days, one) => days + one.days, 0) / 7,
  }
}

function estimate(dry: readonly DryStretch[], times: Record<Tool, number>) {
  const matrix = dry.map((one, i) => dry.map((other, j) => covariance(one, other, { times, apart: Math.abs(i - j) })))
  const weeks = dry.map(({ days }) => days / 7)
  const weighed = solveLinear(matrix, weeks)
  if (!weighed) return null
  const information = dot(weighed, weeks)
  if (!(information > 0)) return null
  return {
    m3PerWeek:
      dot(
        weighed,
        dry.map(({ unexplainedM3 }) => unexplainedM3),
      ) / information,
    deviation: 1 / Math.sqrt(information),
  }
}

/** Of two stretches' unexplained water, from ranges that hold nine times in ten. */
function covariance(
  one: DryStretch,
  other: DryStretch,
  { times, apart }: { times: Record<Tool, number>; apart: number },
) {
  const shared = times.yield ** 2 * yieldM3(one) * yieldM3(other)
  const levels = times.levels ** 2
  let own = 0
  if (apart === 0) {
    const meterM3 = times.meters * one.toleranceParts.meterM3
    own = levels * (one.openingErrorM3 ** 2 + one.closingErrorM3 ** 2) + meterM3 ** 2 + 1e-6
  } else if (one.toOn === other.fromOn) own = -levels * one.closingErrorM3 * other.openingErrorM3
  else if (other.toOn === one.fromOn) own = -levels * other.closingErrorM3 * one.openingErrorM3
  return (shared + own) / ONE_IN_TWENTY ** 2
}

/** How a stretch's unexplained water moves with the yield, from its middle to the end of its range. */
function yieldM3({ toleranceParts: { yieldLowM3, yieldHighM3 } }: DryStretch): number {
  return (yieldHighM3 - yieldLowM3) / 2
}
