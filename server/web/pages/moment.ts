import { addDays, isCalendarDate } from '../../../domain/calendar.ts'
import type { Clock } from '../../book/clock.ts'
import { localDate, localInstant } from './visit.ts'

/** A day typed later than this after the last entry is mistyped, or a setting for a day to come. Own choice, no source. */
const LATEST_DAYS = 120

/**
 * The moment by which a form is taken. While a machine stands long ago and nobody said which day it is, the latest day that is
 * typed in the form says so: it is over by then, so that nothing that was read, paid or drawn on it is refused as still to come.
 */
export function momentOfForm({ at, readAt }: Clock, timeZone: string, body: unknown): { at: Date; today: string } {
  const today = localDate(readAt, timeZone)
  if (readAt <= at) return { at, today }
  const latest = daysIn(body)
    .filter((day) => day <= addDays(today, LATEST_DAYS))
    .sort()
    .at(-1)
  if (latest === undefined || latest <= localDate(at, timeZone)) return { at, today }
  const overAt = localInstant(latest, '23:59', timeZone)
  const typedAt = new Date(Math.max(readAt.getTime() + 1, overAt === null ? 0 : Date.parse(overAt)))
  return { at: typedAt, today: localDate(typedAt, timeZone) }
}

function daysIn(body: unknown): string[] {
  const typed = Object.values((body ?? {}) as Record<string, unknown>).flat()
  return typed.filter((value): value is string => typeof value === 'string' && isCalendarDate(value))
}
