import { addDays, type CalendarDate, datesFromTo, daysBetween, type Weekday, weekdayOf } from './calendar.ts'

/** From a day on, which is a market day, the weeks of a group have so many days. */
export interface MarketWeek {
  fromOn: CalendarDate
  daysInWeek: number
}

/** The weeks of a group: seven days from a weekday on, until the first day from which it counts by its market. */
export interface WeekRhythm {
  firstWeekday: Weekday
  /** The earliest first, no two of one day. */
  marketWeeks: readonly MarketWeek[]
}

interface Week {
  startOn: CalendarDate
  endOn: CalendarDate
  days: number
}

/**
 * The week that holds a day. The last week before the rhythm changes is cut short, so that each day lies in one week and in
 * no other. Throws InputError `date-unknown`. Source: counted.
 */
export function weekOf(date: CalendarDate, rhythm: WeekRhythm): Week {
  const { marketWeeks } = rhythm
  const market = marketWeeks.findLast(({ fromOn }) => fromOn <= date)
  const startOn = addDays(date, -daysIntoWeek(date, rhythm, market))
  const wholeEndOn = addDays(startOn, wholeWeekDays(date, rhythm) - 1)
  const nextOn = marketWeeks.find(({ fromOn }) => fromOn > date)?.fromOn
  const endOn = nextOn !== undefined && nextOn <= wholeEndOn ? addDays(nextOn, -1) : wholeEndOn
  return { startOn, endOn, days: daysBetween(startOn, endOn) + 1 }
}

/** The first day of the week that holds the date. */
export function weekStartOf(date: CalendarDate, rhythm: WeekRhythm): CalendarDate {
  return weekOf(date, rhythm).startOn
}

/** The last day of the week that holds the date. */
export function weekEndOn(date: CalendarDate, rhythm: WeekRhythm): CalendarDate {
  return weekOf(date, rhythm).endOn
}

/** Whether the last day of the week that holds the date has passed: on that day itself the week still runs. */
export function isWeekOver(date: CalendarDate, rhythm: WeekRhythm, today: CalendarDate): boolean {
  return weekEndOn(date, rhythm) < today
}

/** Every day of the week that holds the date. */
export function daysOfWeek(date: CalendarDate, rhythm: WeekRhythm): CalendarDate[] {
  const { startOn, endOn } = weekOf(date, rhythm)
  return datesFromTo(startOn, endOn)
}

/** The first day of the week after the one that holds the date. */
export function nextWeekOn(date: CalendarDate, rhythm: WeekRhythm): CalendarDate {
  return addDays(weekEndOn(date, rhythm), 1)
}

/** The first day of the week before the one that holds the date. */
export function previousWeekOn(date: CalendarDate, rhythm: WeekRhythm): CalendarDate {
  return weekStartOf(addDays(weekStartOf(date, rhythm), -1), rhythm)
}

/** The weeks that hold the days from the first to the last, in their order; none when the last is earlier. */
export function weeksFromTo(from: CalendarDate, to: CalendarDate, rhythm: WeekRhythm): Week[] {
  const weeks: Week[] = []
  for (let week = weekOf(from, rhythm); week.startOn <= to; week = weekOf(addDays(week.endOn, 1), rhythm))
    weeks.push(week)
  return from > to ? [] : weeks
}

/** How many weeks later than one day's week another's is; negative where it is earlier. Source: counted. */
export function weeksBetween(from: CalendarDate, to: CalendarDate, rhythm: WeekRhythm): number {
  return from <= to ? weeksFromTo(from, to, rhythm).length - 1 : 0 - weeksBetween(to, from, rhythm)
}

/** The place of a day in its market week, 1 for the market day; null before the group counts by its market. Source: counted. */
export function marketDayOf(date: CalendarDate, { marketWeeks }: WeekRhythm): number | null {
  const market = marketWeeks.findLast(({ fromOn }) => fromOn <= date)
  return market ? (daysBetween(market.fromOn, date) % market.daysInWeek) + 1 : null
}

/** A day that comes round: a weekday (1 is Monday), a day of the market week (1 is the market day), or every day where both are null. */
export interface DayInWeek {
  weekday: number | null
  marketDay: number | null
}

/** Whether a day is meant by it; a day of the market week never is before the group counts by its market. */
export function fallsOn(date: CalendarDate, { weekday, marketDay }: DayInWeek, rhythm: WeekRhythm): boolean {
  if (marketDay !== null) return marketDayOf(date, rhythm) === marketDay
  return weekday === null || weekdayOf(date) === weekday
}

/** Days of each week that follows a first day, or of one after the other, the last of which repeats. */
export type WeekLengths = number | readonly number[]

/** Days of the week with that number, 0 for the first. */
export function lengthOfWeek(lengths: WeekLengths, week: number): number {
  return typeof lengths === 'number' ? lengths : lengths[Math.min(week, lengths.length - 1)]!
}

/** For each of so many days the number of its week, 0 for the first. */
export function weekByDay(lengths: WeekLengths, days: number): number[] {
  const weeks: number[] = []
  for (let week = 0; weeks.length < days; week++)
    for (let left = lengthOfWeek(lengths, week); left > 0 && weeks.length < days; left--) weeks.push(week)
  return weeks
}

/** Days of a whole week, as the rhythm of a day has it. */
export function wholeWeekDays(date: CalendarDate, { marketWeeks }: WeekRhythm): number {
  return marketWeeks.findLast(({ fromOn }) => fromOn <= date)?.daysInWeek ?? 7
}

function daysIntoWeek(date: CalendarDate, { firstWeekday }: WeekRhythm, market: MarketWeek | undefined): number {
  if (market) return daysBetween(market.fromOn, date) % market.daysInWeek
  return (weekdayOf(date) - firstWeekday + 7) % 7
}
