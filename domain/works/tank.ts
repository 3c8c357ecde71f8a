import { addDays, type CalendarDate } from '../calendar.ts'
import type { M3 } from '../units.ts'
import type { DawnOrDusk } from './readings.ts'

/** Minutes in which one person draws and carries off a jerrycan of 20 litres. Common practice, no source: time it at your own well. */
const MINUTES_A_JERRYCAN = 3

/**
 * The first day on which a tank that nothing fills no longer carries a whole day of those who drink from it. A reading at
 * dusk begins with the next day. Volumes in m3. Source: continuity of the tank.
 */
export function firstDayWithout({
  standsM3,
  dailyM3,
  read,
}: {
  standsM3: M3
  dailyM3: M3
  read: Pick<DawnOrDusk, 'on' | 'moment'>
}): CalendarDate {
  if (!(dailyM3 > 0)) throw new RangeError('nobody drinks from it')
  const begins = read.moment === 'dusk' ? addDays(read.on, 1) : read.on
  return addDays(begins, Math.floor(standsM3 / dailyM3 + 1e-9))
}

/** Hours in a day for which one person draws by hand what people and animals drink. */
export function handDrawHours(jerrycans: number): number {
  return (jerrycans * MINUTES_A_JERRYCAN) / 60
}
