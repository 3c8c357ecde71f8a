import type { CalendarDate } from '../calendar.ts'

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
  oldLastM3: number
  newFirstM3: number
  newDigits: number
}
