import { InputError } from './input-error.ts'

/** A day in the group's own time zone, written `YYYY-MM-DD`; text order is time order. */
export type CalendarDate = string & { readonly kind?: 'day' }

/** A moment in UTC, written as ISO 8601 ends in Z; text order is time order. */
export type Instant = string & { readonly kind?: 'moment' }

/** ISO 8601 weekday: 1 is Monday, 7 is Sunday. */
export type Weekday = 1 | 2 | 3 | 4 | 5 | 6 | 7

const DAY_MS = 86_400_000
const PATTERN = /^(\d{4})-(\d{2})-(\d{2})$/

/** True for `YYYY-MM-DD` that is a day of the Gregorian calendar (ISO 8601): 2026-02-30 is none. */
export function isCalendarDate(text: string): boolean {
  const parts = PATTERN.exec(text)
  if (!parts) return false
  const at = Date.UTC(Number(parts[1]), Number(parts[2]) - 1, Number(parts[3]))
  return new Date(at).toISOString().slice(0, 10) === text
}

/** Days since 1970-01-01. Throws InputError `date-unknown` for a day that is not on the calendar. */
function dayNumber(date: CalendarDate): number {
  if (!isCalendarDate(date)) throw new InputError('date-unknown', { date })
  return Date.parse(`${date}T00:00:00Z`) / DAY_MS
}

/** The day that stands so many days after 1970-01-01; undoes `dayNumber`. */
function dateOfDayNumber(number: number): CalendarDate {
  return new Date(number * DAY_MS).toISOString().slice(0, 10)
}

/** The day so many days later, or earlier when negative. Throws InputError `date-unknown` as `dayNumber` does. */
export function addDays(date: CalendarDate, days: number): CalendarDate {
  return dateOfDayNumber(dayNumber(date) + days)
}

/** Whole days from one date to another; negative when `to` is earlier. */
export function daysBetween(from: CalendarDate, to: CalendarDate): number {
  return dayNumber(to) - dayNumber(from)
}

/** Every date from the first to the last, both included; empty when the last is earlier. */
export function datesFromTo(from: CalendarDate, to: CalendarDate): CalendarDate[] {
  const first = dayNumber(from)
  return Array.from({ length: Math.max(0, dayNumber(to) - first + 1) }, (_, day) => dateOfDayNumber(first + day))
}

/** Number of the day in its year: 1 on 1 January, 366 on 31 December of a leap year (FAO-56, Annex 2, Table 2.5). */
export function dayOfYear(date: CalendarDate): number {
  return daysBetween(`${date.slice(0, 4)}-01-01`, date) + 1
}

/** ISO 8601 weekday, 1 for Monday; 1970-01-01 was a Thursday. */
export function weekdayOf(date: CalendarDate): Weekday {
  return (((((dayNumber(date) + 3) % 7) + 7) % 7) + 1) as Weekday
}
