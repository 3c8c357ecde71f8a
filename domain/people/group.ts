import type { CalendarDate } from '../calendar.ts'
/** What a group has settled about itself: place in degrees and metres, its money, its week and its season. */
export interface Group {
  name: string
  latitudeDeg: number
  longitudeDeg: number
  elevationM: number
  timeZone: string
  currency: string
  firstWeekday: 1 | 2 | 3 | 4 | 5 | 6 | 7
  seasonStartOn: CalendarDate
  seasonEndOn: CalendarDate
}
