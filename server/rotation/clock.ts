import { DateTime } from 'luxon'

/** Minutes after midnight of a clock time `HH:MM`. */
export function clockMinute(clock: string): number {
  const [hours, minutes] = clock.split(':').map(Number)
  return hours! * 60 + minutes!
}

/** Hours after midnight of a clock time `HH:MM`; a half hour is 0.5. */
export function clockHour(clock: string): number {
  return clockMinute(clock) / 60
}

/** The clock of the group's zone at an instant. */
export function localClock(at: Date, timeZone: string): string {
  return DateTime.fromJSDate(at, { zone: timeZone }).toFormat('HH:mm')
}

/** The first minute of a day at which somebody can still be called: today it is now, later days from their beginning. */
export function callableFrom({ on, today, now, timeZone }: Callable): number {
  return on === today ? clockMinute(localClock(now, timeZone)) : 0
}

/** Whether a turn's hour has come. */
export function hasBegun(
  { on, startMinute }: { on: string; startMinute: number },
  { today, now, timeZone }: Omit<Callable, 'on'>,
): boolean {
  return on < today || (on === today && startMinute <= clockMinute(localClock(now, timeZone)))
}

interface Callable {
  on: string
  today: string
  now: Date
  timeZone: string
}
