import { addDays, type CalendarDate } from '../../calendar.ts'

/**
 * The first day that counts for the season's evening-out. A week that was already running when the season began counts as a
 * whole, what was due in it and what it delivered alike; so both sides cover the same days. Without such a week the season
 * counts from its own first day. The group's weeks are its steps of account: ours.
 */
export function countedFrom({
  seasonStartOn,
  weekStarts,
}: {
  seasonStartOn: CalendarDate
  /** First days of the published weeks. */
  weekStarts: readonly CalendarDate[]
}): CalendarDate {
  const running = weekStarts.filter((start) => start < seasonStartOn && addDays(start, 7) > seasonStartOn)
  return running.toSorted()[0] ?? seasonStartOn
}

/** Whether a week counts for the season: it begins in it, or was running when it began. */
export function countsForSeason({
  seasonStartOn,
  weekStartOn,
}: {
  seasonStartOn: CalendarDate
  weekStartOn: CalendarDate
}): boolean {
  return addDays(weekStartOn, 7) > seasonStartOn
}
