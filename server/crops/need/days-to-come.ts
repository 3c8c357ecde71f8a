import { addDays, type CalendarDate, datesFromTo } from '../../../domain/calendar.ts'
import { type BookedDay, expectedDemand } from '../../../domain/crops/index.ts'

/**
 * The days read, and those from today to the eve of the week that nobody can have read yet. They count without rain, which
 * never makes a need too small; `days` leaves their demand open and `likelyDays` gives them the demand expected from today on.
 */
export function withDaysToCome(
  read: readonly BookedDay[],
  { today, weekStartOn }: { today: CalendarDate; weekStartOn: CalendarDate },
): { days: BookedDay[]; likelyDays: BookedDay[]; toCome: CalendarDate[] } {
  const complete = new Set(read.filter((day) => day.rainMm !== null).map((day) => day.date))
  const toCome = datesFromTo(today, addDays(weekStartOn, -1)).filter((date) => !complete.has(date))
  const kept = read.filter((day) => !toCome.includes(day.date))
  const expected = toCome.length > 0 ? expectedDemand({ days: read, weekStartsOn: today }) : null
  const added = (etoMm: number | null) =>
    toCome.map((date) => ({ date, etoMm, etoErrorFraction: expected?.errorFraction ?? 0, rainMm: 0 }))
  return { days: [...kept, ...added(null)], likelyDays: [...kept, ...added(expected?.etoMmPerDay ?? null)], toCome }
}
