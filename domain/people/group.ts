import type { CalendarDate } from '../calendar.ts'
import type { WeekRhythm } from '../weeks.ts'

/** What a group has settled about itself: place in degrees and metres, its money, its season and the weekday of its weeks. */
export interface GroupSettings {
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

/** The same with the weeks that follow its market. */
export interface Group extends GroupSettings, WeekRhythm {}
