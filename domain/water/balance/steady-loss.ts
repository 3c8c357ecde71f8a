import type { CalendarDate } from '../../calendar.ts'
import { dot, solveLinear } from '../../linear.ts'
import { sum } from '../../sum.ts'
import type { BalanceStretch } from './stretches.ts'

type Tool = 'yield' | 'levels' | 'meters'

export interface SteadyLoss {
  /** What leaves beyond the log and the settled loss, m3 a week, over all dry stretches or from its beginning; below zero where more stands. */
  m3PerWeek: number
  /** The smallest that the group's tools could see by now, wrong one time in twenty. */
  leastSeenM3PerWeek: number
  isSeen: boolean
  /** First day of a loss that began within the row; null where it is sought over all of it. */
  begunOn: CalendarDate | null
  /** The tool that twice as sharp would narrow that most, and to what. */
  bestTool: Tool
  leastSeenWithItM3PerWeek: number
  weeks: number
}

type DryStretch = Pick<
  BalanceStretch,
  | 'fromOn'
  | 'toOn'
  | 'days'
  | 'kind'
  | 'fallM3'
  | 'unexplainedM3'
  | 'toleranceParts'
  | 'openingErrorM3'
  | 'closingErrorM3'
>

/** With its length in weeks of the group. */
type WeighedStretch = DryStretch & { weeks: number }

/** One-sided, wrong one time in twenty; ranges are taken to hold nine times in ten, so they are as many deviations. */
const ONE_IN_TWENTY = 1.645
/** A loss that began within the row is looked for at many beginnings, and must stand out more. Found in made-up books. */
const BEGUN_LATER = 2.5
const MOST_BEGINNINGS = 12
const STRETCHES_NEEDED = 4
const AS_THEY_ARE: Record<Tool, number> = { yield: 1, levels: 1, meters: 1 }

/**
 * Whether the dry stretches of a weir together show a steady loss that none of them shows alone, all through or from some day
 * on until now. One loss for each day is sought by generalised least squares: the doubt of the yield moves all stretches
 * alike, by what should have fallen in each; a reading errs once, at the end of one stretch and the beginning of the next;
 * meters err each by themselves. It counts where it is above zero by 1.645 of its deviations, or by 2.5 where it began later.
 * Volumes in m3, a week being one of the group's; null with fewer than four dry stretches. It cannot tell draws that nobody logged from a leak or plants beyond
 * the settled loss. Source: generalised least squares (Aitken 1935, memory).
 */
export function steadyLoss(stretches: readonly DryStretch[], daysInWeek = 7): SteadyLoss | null {
  const dry = stretches
    .filter(({ kind }) => kind === 'dry')
    .map((stretch) => ({ ...stretch, weeks: stretch.days / daysInWeek }))
  if (dry.length < STRETCHES_NEEDED) return null
  const found = beginnings(dry).flatMap((from) => estimate(dry, from) ?? [])
  if (found[0]?.from !== 0) return null
  const likeliest = found.reduce((best, one) => (standsOut(one) > standsOut(best) ? one : best))
  const now = standsOut(likeliest) > 0 ? likeliest : found[0]
  const sharper = (['yield', 'levels', 'meters'] as const).map((tool) => ({
    tool,
    least: leastSeenM3(estimate(dry, now.from, { ...AS_THEY_ARE, [tool]: 0.5 }) ?? now),
  }))
  const best = sharper.toSorted((a, b) => a.least - b.least)[0]!
  return {
    m3PerWeek: now.m3PerWeek,
    leastSeenM3PerWeek: leastSeenM3(now),
    isSeen: standsOut(now) > 0,
    begunOn: now.from === 0 ? null : dry[now.from]!.fromOn,
    bestTool: best.tool,
    leastSeenWithItM3PerWeek: best.least,
    weeks: sum(dry.slice(now.from), ({ weeks }) => weeks),
  }
}

/** The first stretch, and later ones at most as many as are tried, each with enough stretches from it on. */
function beginnings(dry: readonly WeighedStretch[]): number[] {
  const last = dry.length - STRETCHES_NEEDED
  const step = Math.max(1, Math.ceil(last / (MOST_BEGINNINGS - 1)))
  return Array.from({ length: Math.floor(last / step) + 1 }, (_, at) => at * step)
}

interface Estimate {
  /** Place of the stretch with which the loss begins. */
  from: number
  m3PerWeek: number
  deviation: number
}

/** Deviations by which a loss is more than has to be seen. */
function standsOut(one: Estimate): number {
  return (one.m3PerWeek - leastSeenM3(one)) / one.deviation
}

function leastSeenM3({ from, deviation }: Estimate): number {
  return (from === 0 ? ONE_IN_TWENTY : BEGUN_LATER) * deviation
}

function estimate(dry: readonly WeighedStretch[], from: number, times = AS_THEY_ARE): Estimate | null {
  const doubts = yieldDoubtsM3(dry)
  const matrix = dry.map((one, i) =>
    dry.map((other, j) => {
      const sharedM6 = times.yield ** 2 * doubts[i]! * doubts[j]!
      return (sharedM6 + ownM6(one, other, { times, apart: Math.abs(i - j) })) / ONE_IN_TWENTY ** 2
    }),
  )
  const weeks = dry.map((stretch, at) => (at < from ? 0 : stretch.weeks))
  const weighed = solveLinear(matrix, weeks)
  const information = weighed ? dot(weighed, weeks) : 0
  if (!weighed || !(information > 0)) return null
  const missingM3 = dry.map(({ unexplainedM3 }) => unexplainedM3)
  return { from, m3PerWeek: dot(weighed, missingM3) / information, deviation: 1 / Math.sqrt(information) }
}

/** What readings and meters share of two stretches' unexplained water, from ranges that hold nine times in ten. */
function ownM6(one: DryStretch, other: DryStretch, { times, apart }: { times: Record<Tool, number>; apart: number }) {
  const levels = times.levels ** 2
  if (apart === 0) {
    const meterM3 = times.meters * one.toleranceParts.meterM3
    return levels * (one.openingErrorM3 ** 2 + one.closingErrorM3 ** 2) + meterM3 ** 2 + 1e-6
  }
  if (one.toOn === other.fromOn) return -levels * one.closingErrorM3 * other.openingErrorM3
  return other.toOn === one.fromOn ? -levels * other.closingErrorM3 * one.openingErrorM3 : 0
}

/**
 * How the unexplained water of each stretch moves with the yield, m3 from the middle to the end of its range. It goes by what
 * should have fallen, not by the fall that was read: a reading too low makes both the fall and what is unexplained larger, and
 * would be taken for a wrong yield.
 */
function yieldDoubtsM3(dry: readonly DryStretch[]): number[] {
  const doubtM3 = sum(dry, ({ toleranceParts: { yieldLowM3, yieldHighM3 } }) => Math.abs(yieldHighM3 - yieldLowM3) / 2)
  const fallM3 = sum(dry, (one) => Math.abs(one.fallM3))
  const part = fallM3 > 0 ? doubtM3 / fallM3 : 0
  return dry.map((one) => part * (one.fallM3 - one.unexplainedM3))
}
