import { ascending } from 'd3-array'
import { type CalendarDate, dayOfYear } from '../../calendar.ts'
import type { RainYear } from './traces.ts'

/** With more days unread than this a year is left out; fewer count as dry, the cautious side. Common practice, no source. */
const UNREAD_DAYS_ALLOWED = 7

export interface RainYearsFound {
  /** Oldest first, 365 days each: the rain of 29 February is added to the day before, so that all years keep step. */
  years: RainYear[]
  /** Years begun but with too many days unread, and how many. */
  leftOut: { name: string; unreadDays: number }[]
}

/** Sorts days of rain into calendar years and keeps those that were read nearly through. The later of two figures of one day counts. */
export function rainYears({
  days,
}: {
  days: readonly { fellOn: CalendarDate; rainMm: number | null }[]
}): RainYearsFound {
  const byYear = new Map<string, (number | null)[]>()
  for (const { fellOn, rainMm } of days) {
    const name = fellOn.slice(0, 4)
    const list = byYear.get(name) ?? Array.from<number | null>({ length: dayOfYear(`${name}-12-31`) }).fill(null)
    list[dayOfYear(fellOn) - 1] = rainMm ?? list[dayOfYear(fellOn) - 1] ?? null
    byYear.set(name, list)
  }
  const found: RainYearsFound = { years: [], leftOut: [] }
  for (const [name, list] of [...byYear].sort(([a], [b]) => ascending(a, b))) {
    const unreadDays = list.filter((mm) => mm === null).length
    if (unreadDays > UNREAD_DAYS_ALLOWED) found.leftOut.push({ name, unreadDays })
    else found.years.push({ name, rainMm: withoutLeapDay(list.map((mm) => mm ?? 0)) })
  }
  return found
}

const LEAP_DAY = 59

function withoutLeapDay(rainMm: readonly number[]): number[] {
  if (rainMm.length === 365) return [...rainMm]
  const kept = rainMm.filter((_, day) => day !== LEAP_DAY)
  return kept.map((mm, day) => (day === LEAP_DAY - 1 ? mm + rainMm[LEAP_DAY]! : mm))
}
