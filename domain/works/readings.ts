import type { CalendarDate } from '../calendar.ts'
import type { M3 } from '../units.ts'

/** A reading at the beginning or the end of a day. */
export interface DawnOrDusk {
  on: CalendarDate
  moment: 'dawn' | 'dusk'
  /** What the meter or the stick in the tank showed. */
  reading: number
}

/** A meter that was replaced in the course of a day. */
export interface MeterExchange {
  on: CalendarDate
  oldLastM3: M3
  newFirstM3: M3
  newDigits: number
}
