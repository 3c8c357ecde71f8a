import type { CalendarDate } from '../../calendar.ts'
import { type WeekRhythm, weekEndOn } from '../../weeks.ts'

interface Season extends WeekRhythm {
  seasonStartOn: CalendarDate
}

/**
 * The first day that counts for the season's evening-out. A week that was already running when the season began counts as a
 * whole, what was due in it and what it delivered alike; so both sides cover the same days. Without such a week the season
 * counts from its own first day. The group's weeks are its steps of account: ours.
 */
export function countedFrom({
  seasonStartOn,
  weekStarts,
  ...rhythm
}: Season & {
  /** First days of the published weeks. */
  weekStarts: readonly CalendarDate[]
}): CalendarDate {
  const running = weekStarts.filter((start) => start < seasonStartOn && weekEndOn(start, rhythm) >= seasonStartOn)
  return running.toSorted()[0] ?? seasonStartOn
}

/** Whether a week counts for the season: it begins in it, or was running when it began. */
export function countsForSeason({
  seasonStartOn,
  weekStartOn,
  ...rhythm
}: Season & { weekStartOn: CalendarDate }): boolean {
  return weekEndOn(weekStartOn, rhythm) >= seasonStartOn
}
