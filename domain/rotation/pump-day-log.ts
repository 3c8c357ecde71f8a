import type { CalendarDate } from '../calendar.ts'
import type { Sky } from './pump-day.ts'

/** One day of a pump's own log. */
export interface PumpLogDay {
  on: CalendarDate
  volumeM3: number
  sky: Sky
  /** A day on which the pump stood still for want of turns says nothing about what it can give. */
  wholeDay: boolean
}

export interface UsualDay {
  meanM3: number
  days: number
}

/** Fewer days than this of one sky are chance. Common practice, no source. */
export const LEAST_LOGGED_DAYS = 3

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
    usual[sky] = { meanM3: volumes.reduce((sum, each) => sum + each, 0) / volumes.length, days: volumes.length }
  }
  return usual
}
