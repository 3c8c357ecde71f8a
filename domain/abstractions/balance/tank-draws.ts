import { addDays, type CalendarDate } from '../../calendar.ts'

interface TimedLevel {
  on: CalendarDate
  moment: 'dawn' | 'dusk'
  /** Clock time of the reading, as 06:00. */
  atTime: string
}

/**
 * The day of the pump's balance to which a draw from a tank belongs. A day runs from its dawn reading to the next dawn's, so that
 * what runs before dawn was read is the evening before's; where the next dawn was not read, the day ends at dusk, and what
 * runs after it is on neither side of the balance (null). A draw without a clock stays on its date.
 * Source: both sides of a balance are taken over the same stretch (continuity).
 */
export function tankDrawDay({
  on,
  startTime,
  levels,
}: {
  on: CalendarDate
  startTime: string | null
  levels: readonly TimedLevel[]
}): CalendarDate | null {
  if (startTime === null) return on
  const read = (day: CalendarDate, moment: TimedLevel['moment']) =>
    levels.findLast((level) => level.on === day && level.moment === moment)?.atTime
  if (startTime < (read(on, 'dawn') ?? '')) return addDays(on, -1)
  const dusk = read(on, 'dusk')
  const endsAtDusk = read(addDays(on, 1), 'dawn') === undefined
  return endsAtDusk && dusk !== undefined && startTime >= dusk ? null : on
}
