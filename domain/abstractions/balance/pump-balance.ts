import { ascending, fsum, group, rollups } from 'd3-array'
import type { CalendarDate } from '../../calendar.ts'
import { exactM3, type M3 } from '../../units.ts'
import { combinedErrorM3 } from '../../works/tool-errors.ts'

export type PumpLineKind = 'pumped' | 'outlets' | 'stand' | 'trough' | 'flushing' | 'tank-rise'

export interface PumpLine {
  on: CalendarDate
  kind: PumpLineKind
  volumeM3: M3
  uncertaintyM3: M3
  /** One tool's errors lean the same way and are added; errors of different tools are combined by squares. */
  toolId?: string
  /** What the last digit that was read may hide. It leans either way each time, so one tool's do not cancel. */
  readingErrorM3?: M3
}

type BalanceVerdict =
  | 'nothing-the-tools-can-show'
  | 'look-at-these-days'
  | 'more-recorded-than-pumped'
  | 'cannot-say-nothing-pumped'

interface DayDifference {
  on: CalendarDate
  pumpedM3: M3
  unexplainedM3: M3
  toleranceM3: M3
}

export interface PumpBalance {
  pumpedM3: M3
  recordedM3: Record<Exclude<PumpLineKind, 'pumped'>, number>
  unexplainedM3: M3
  /** Of what was pumped; null when nothing was. */
  unexplainedFraction: number | null
  toleranceM3: M3
  verdict: BalanceVerdict
  /** The days whose own difference is above their own tolerance, the largest first; all days that lean that way when none is. */
  daysToLookAt: DayDifference[]
}

/**
 * Pumped = outlets + stand + trough + flushing + rise in tank + unexplained, over any stretch of days. The remainder is
 * named, never spread; below the combined error of the tools nothing can be said about it. A negative remainder is a
 * fault of metering or of dates, not a gain of water.
 * Source: supplied less recorded over the same dates is unaccounted-for water (IWA water balance, Lambert and Hirner 2000; memory).
 */
export function pumpBalance({ lines }: { lines: readonly PumpLine[] }): PumpBalance {
  const pumpedM3 = sumOf(lines, 'pumped')
  const { unexplainedM3, toleranceM3 } = difference(lines)
  const verdict = verdictOn({ lines, unexplainedM3, toleranceM3 })
  return {
    pumpedM3,
    recordedM3: {
      outlets: sumOf(lines, 'outlets'),
      stand: sumOf(lines, 'stand'),
      trough: sumOf(lines, 'trough'),
      flushing: sumOf(lines, 'flushing'),
      'tank-rise': sumOf(lines, 'tank-rise'),
    },
    unexplainedM3,
    unexplainedFraction: pumpedM3 > 0 ? unexplainedM3 / pumpedM3 : null,
    toleranceM3,
    verdict,
    daysToLookAt: verdict === 'nothing-the-tools-can-show' ? [] : daysToLookAt(lines, unexplainedM3),
  }
}

function verdictOn({
  lines,
  unexplainedM3,
  toleranceM3,
}: {
  lines: readonly PumpLine[]
  unexplainedM3: M3
  toleranceM3: M3
}): BalanceVerdict {
  if (!lines.some((line) => line.kind === 'pumped')) return 'cannot-say-nothing-pumped'
  if (Math.abs(unexplainedM3) <= toleranceM3) return 'nothing-the-tools-can-show'
  return unexplainedM3 > 0 ? 'look-at-these-days' : 'more-recorded-than-pumped'
}

function daysToLookAt(lines: readonly PumpLine[], totalM3: M3): DayDifference[] {
  const days = [...group(lines, (line) => line.on)].map(([on, ofDay]) => ({
    on,
    pumpedM3: sumOf(ofDay, 'pumped'),
    ...difference(ofDay),
  }))
  const leaning = days.filter((day) => day.unexplainedM3 * totalM3 > 0)
  const above = leaning.filter((day) => Math.abs(day.unexplainedM3) > day.toleranceM3)
  const listed = above.length > 0 ? above : leaning
  return listed.toSorted((a, b) => Math.abs(b.unexplainedM3) - Math.abs(a.unexplainedM3) || ascending(a.on, b.on))
}

function difference(lines: readonly PumpLine[]): { unexplainedM3: M3; toleranceM3: M3 } {
  const sign = ({ kind }: PumpLine) => (kind === 'pumped' ? 1 : -1)
  const byTool = rollups(
    lines.map((line, at) => ({ line, tool: line.toolId ?? at })),
    (ofTool) => fsum(ofTool, ({ line }) => sign(line) * line.uncertaintyM3),
    ({ tool }) => tool,
  )
  return {
    unexplainedM3: exactM3(fsum(lines, (line) => sign(line) * line.volumeM3)),
    toleranceM3: combinedErrorM3({
      errorsM3: [...byTool.map(([, errorM3]) => errorM3), ...lines.map((line) => line.readingErrorM3 ?? 0)],
    }),
  }
}

function sumOf(lines: readonly PumpLine[], kind: PumpLineKind): number {
  return exactM3(fsum(lines.filter((line) => line.kind === kind).map((line) => line.volumeM3)))
}
