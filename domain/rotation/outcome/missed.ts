import { ascending } from 'd3-array'
import { addDays, type CalendarDate } from '../../calendar.ts'
import type { Id } from '../../id.ts'
import { type M3, toLitreM3 } from '../../units.ts'
import type { MissedCause } from '../rule/carry-over.ts'

/** Water of a turn that did not come to its plot, with the cause that decides what becomes of it. */
export interface MissedVolume {
  plotId: Id<'plot'>
  on: CalendarDate
  cause: MissedCause
  volumeM3: M3
  /** Days within which the rule of that day lets an excused turn be made good. */
  excusedDays: number
}

/** What a plot was given in a week beyond what its equals were (`beyondEquals`). */
export interface WeekBeyond {
  weekStartOn: CalendarDate
  plotId: Id<'plot'>
  beyondM3: M3
}

export interface SettledMissed {
  /** Lost to the holder who stayed away without word; it counts as received. */
  forfeitedM3: Record<string, number>
  /** Excused, but not made good in time; it counts as received. */
  lapsedM3: Record<string, number>
  /** Excused turns that can still be made good, with what is left of each and its last day. */
  running: (MissedVolume & { leftM3: M3; expiresOn: CalendarDate })[]
}

/**
 * What becomes of the missed turns before a week. An excused turn is made good by water that later weeks, begun within its
 * days, brought beyond what equals received; the earliest turn first, each litre once. What is left lapses when its days
 * are over. A breakdown is nobody's debt: it lowers the entitlement of its week instead (`breakdownM3ByWeek`).
 * Source: the group's own rule; common practice, no source.
 */
export function settleMissed({
  missed,
  beyond,
  weekStartOn,
}: {
  missed: readonly MissedVolume[]
  beyond: readonly WeekBeyond[]
  weekStartOn: CalendarDate
}): SettledMissed {
  const settled: SettledMissed = { forfeitedM3: {}, lapsedM3: {}, running: [] }
  const unused = beyond.filter((week) => week.weekStartOn < weekStartOn).map((week) => ({ ...week }))
  const before = missed.filter(({ on }) => on < weekStartOn)
  for (const turn of [...before].sort((a, b) => ascending(a.on, b.on))) {
    if (turn.cause === 'no-show') add(settled.forfeitedM3, turn.plotId, turn.volumeM3)
    if (turn.cause !== 'excused') continue
    const expiresOn = addDays(turn.on, turn.excusedDays)
    const leftM3 = leftAfter(turn, expiresOn, unused)
    if (leftM3 <= 0) continue
    if (expiresOn < weekStartOn) add(settled.lapsedM3, turn.plotId, leftM3)
    else settled.running.push({ ...turn, leftM3, expiresOn })
  }
  return settled
}

/** Takes from the later weeks what makes a turn good, and tells what is left of it. */
function leftAfter({ plotId, on, volumeM3 }: MissedVolume, expiresOn: CalendarDate, unused: WeekBeyond[]): number {
  let leftM3 = volumeM3
  for (const week of unused) {
    if (week.plotId !== plotId || week.weekStartOn <= on || week.weekStartOn > expiresOn) continue
    const usedM3 = Math.min(leftM3, week.beyondM3)
    week.beyondM3 -= usedM3
    leftM3 = toLitreM3(leftM3 - usedM3)
  }
  return leftM3
}

/** Water lost to breakdowns, by the week of the loss and the plot. */
export function breakdownM3ByWeek({
  missed,
  weekOf,
}: {
  missed: readonly MissedVolume[]
  weekOf: (on: CalendarDate) => CalendarDate
}): Record<CalendarDate, Record<string, number>> {
  const byWeek: Record<CalendarDate, Record<string, number>> = {}
  for (const { cause, on, plotId, volumeM3 } of missed) {
    if (cause !== 'breakdown') continue
    const week = weekOf(on)
    byWeek[week] ??= {}
    add(byWeek[week], plotId, volumeM3)
  }
  return byWeek
}

function add(sums: Record<string, number>, plotId: Id<'plot'>, volumeM3: M3): void {
  sums[plotId] = toLitreM3((sums[plotId] ?? 0) + volumeM3)
}
