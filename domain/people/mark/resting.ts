import { addDays, type CalendarDate, daysBetween, isCalendarDate } from '../../calendar.ts'

/**
 * The last day on which a mark that was given up rests: books and boards still bear it, so it rests until the first season that
 * begins after that day is over. Seasons come again each year on the days of the group's settings. Own rule of this book.
 */
export function restsUntil(
  givenUpOn: CalendarDate,
  { seasonStartOn, seasonEndOn }: { seasonStartOn: CalendarDate; seasonEndOn: CalendarDate },
): CalendarDate {
  let year = Number(givenUpOn.slice(0, 4))
  if (inYear(seasonStartOn, year) <= givenUpOn) year++
  return addDays(inYear(seasonStartOn, year), daysBetween(seasonStartOn, seasonEndOn))
}

/** The same day of another year; 29 February is the 28th where a year has none. */
function inYear(date: CalendarDate, year: number): CalendarDate {
  const same = `${year}${date.slice(4)}`
  return isCalendarDate(same) ? same : `${year}-02-28`
}
