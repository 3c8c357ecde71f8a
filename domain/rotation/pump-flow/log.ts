import type { CalendarDate } from '../../calendar.ts'
import { mean, sum } from '../../sum.ts'
import { exactM3, type M3 } from '../../units.ts'
import type { Sky } from '../../works/pump-day.ts'

/** One day of a pump's own log. */
export interface PumpLogDay {
  on: CalendarDate
  volumeM3: M3
  sky: Sky
  /** A day on which the pump stood still for want of turns says nothing about what it can give. */
  wholeDay: boolean
}

/** A draw as the log has it: what was noted of the sky, and the minutes of the day where the clock was written. */
interface NotedDraw {
  sky: Sky | null
  startMinute: number | null
  endMinute: number | null
  /** What its outlet takes when the pump gives enough; 0 where it was never tested. */
  outletM3PerH: number
}

/** A day counts as whole when its draws took all that the pump could give in this part of its hours. Ours. */
const WHOLE_PART = 0.9

/**
 * The sky of a day from the notes of the log, for days of which nobody said anything else: only where all notes agree. The
 * day says what the pump can give only if nearly all its hours were drawn by outlets that together take its usual flow;
 * where small outlets held it back, or nobody had a turn, it does not.
 */
export function notedSky({
  draws,
  firstHour,
  lastHour,
  usualFlowM3PerH,
}: {
  draws: readonly NotedDraw[]
  firstHour: number
  lastHour: number
  usualFlowM3PerH: number
}): { sky: Sky; wholeDay: boolean } | null {
  const skies = new Set(draws.flatMap(({ sky }) => sky ?? []))
  const [sky] = skies
  if (sky === undefined || skies.size > 1) return null
  const minutes = (lastHour - firstHour) * 60
  const usualM3PerH = exactM3(usualFlowM3PerH)
  const fullMinutes = sum(stretches(draws, firstHour * 60, lastHour * 60), ({ fromMinute, toMinute }) =>
    openM3PerH(draws, fromMinute) >= usualM3PerH ? toMinute - fromMinute : 0,
  )
  return { sky, wholeDay: fullMinutes >= WHOLE_PART * minutes }
}

/** Between them a draw begins or ends; within one the same stand open. */
function stretches(draws: readonly NotedDraw[], fromMinute: number, toMinute: number) {
  const changes = draws.flatMap(({ startMinute, endMinute }) => [startMinute ?? fromMinute, endMinute ?? fromMinute])
  const within = [...new Set(changes)].filter((minute) => minute > fromMinute && minute < toMinute)
  const starts = [fromMinute, ...within.sort((a, b) => a - b)]
  return starts.map((minute, at) => ({ fromMinute: minute, toMinute: starts[at + 1] ?? Math.max(minute, toMinute) }))
}

function openM3PerH(draws: readonly NotedDraw[], minute: number): number {
  const open = draws.filter(
    ({ startMinute, endMinute }) => (startMinute ?? minute + 1) <= minute && minute < (endMinute ?? 0),
  )
  return exactM3(sum(open, ({ outletM3PerH }) => outletM3PerH))
}

interface UsualDay {
  meanM3: M3
  days: number
}

/** Fewer days than this of one sky are chance. Common practice, no source. */
const LEAST_LOGGED_DAYS = 3

/**
 * What a pump gives on clear, half and dull days of a calendar month, as the mean of its own whole days of that month, in any
 * year; a sky with fewer than three such days is left out.
 */
export function usualPumpDays({
  days,
  month,
}: {
  days: readonly PumpLogDay[]
  /** 1 to 12. */
  month: number
}): Partial<Record<Sky, UsualDay>> {
  const own = days.filter((day) => day.wholeDay && Number(day.on.slice(5, 7)) === month)
  const usual: Partial<Record<Sky, UsualDay>> = {}
  for (const sky of ['clear', 'half', 'dull'] as const) {
    const volumes = own.filter((day) => day.sky === sky).map((day) => day.volumeM3)
    if (volumes.length < LEAST_LOGGED_DAYS) continue
    usual[sky] = { meanM3: mean(volumes), days: volumes.length }
  }
  return usual
}
