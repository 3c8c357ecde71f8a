import { DateTime } from 'luxon'

/** Minutes after midnight of a clock time `HH:MM`. */
export function clockMinute(clock: string): number {
  const [hours, minutes] = clock.split(':').map(Number)
  return hours! * 60 + minutes!
}

/** The clock of the group's zone at an instant. */
export function localClock(at: Date, timeZone: string): string {
  return DateTime.fromJSDate(at, { zone: timeZone }).toFormat('HH:mm')
}
