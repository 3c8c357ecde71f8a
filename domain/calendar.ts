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
  return midnightMs(text) !== null
}

/** The midnight UTC that begins a day, in ms since 1970; null for what is no day. `Date` reads years under 100 as of the last century. */
function midnightMs(text: string): number | null {
  const parts = PATTERN.exec(text)
  if (!parts) return null
  const [year, month, day] = [Number(parts[1]), Number(parts[2]), Number(parts[3])]
  const isDay = year >= 100 && month >= 1 && month <= 12 && day >= 1 && day <= daysIn(year, month)
  return isDay ? Date.UTC(year, month - 1, day) : null
}

function daysIn(year: number, month: number): number {
  if (month !== 2) return [4, 6, 9, 11].includes(month) ? 30 : 31
  return year % 4 === 0 && (year % 100 !== 0 || year % 400 === 0) ? 29 : 28
}

/** A season is reckoned day by day, over and over: the days from 1970 to 2079 are read and written once. */
const KEPT_DAYS = 40_000
const numbers = new Map<CalendarDate, number>()
const dates: CalendarDate[] = []

/** Days since 1970-01-01. Throws InputError `date-unknown` for a day that is not on the calendar. */
function dayNumber(date: CalendarDate): number {
  const known = numbers.get(date)
  if (known !== undefined) return known
  const beginsMs = midnightMs(date)
  if (beginsMs === null) throw new InputError('date-unknown', { date })
  const number = beginsMs / DAY_MS
  if (number >= 0 && number < KEPT_DAYS) numbers.set(date, number)
  return number
}

/** The day that stands so many days after 1970-01-01; undoes `dayNumber`. */
function dateOfDayNumber(number: number): CalendarDate {
  const known = dates[number]
  if (known !== undefined) return known
  const date = new Date(number * DAY_MS).toISOString().slice(0, 10)
  if (number >= 0 && number < KEPT_DAYS) dates[number] = date
  return date
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
