import type { CalendarDate } from '../calendar.ts'
import type { Range } from '../units.ts'
import type { TurnFacts } from './turn-facts.ts'

/** Everything that makes a week, as it is frozen with it: plain data, nothing to be looked up later. */
export interface WeekInputs {
  weekStartOn: CalendarDate
  days: CalendarDate[]
  rule: WeekRule
  weirs: WeekWeir[]
  pumps: WeekPump[]
  outlets: WeekOutlet[]
  plots: WeekPlot[]
  /** Plots with an admitted claim this week. */
  claims: WeekClaim[]
  notAdmitted: { plotId: string; reason: 'not-asked' | 'no-crop' | 'need-unknown'; codes: string[] }[]
  closures: { on: CalendarDate; pumpId: string | null; words: string }[]
  /** Missing in weeks that were published before the book kept it. */
  turnFacts?: TurnFacts
  /** Earlier weeks of the season, for what each plot was entitled to in them. */
  pastWeeks: PastWeek[]
  /** Delivered since the season began, by plot, with what is still due before this week begins. */
  receivedM3: Record<string, number>
}

export interface WeekRule {
  fromOn: CalendarDate
  equalWeight: number
  areaWeight: number
  shareWeight: number
  admission: 'request' | 'crop'
}

export interface WeekWeir {
  id: string
  number: number
  name: string
  /** What may be drawn this week, drinking included; zero with a reason when it cannot be said. */
  releasableM3: number
  drinkingM3: number
  /** The terms of the releasable volume; null when it cannot be said. */
  working: {
    availableM3: number
    basis: 'low' | 'likely'
    grade: string
    readOn: CalendarDate
    reserveM3: number
    lateRainOn: CalendarDate
    weeksLeft: number
    heldBy: string
  } | null
  cannotSay: string[]
}

export interface WeekPump {
  id: string
  number: number
  name: string
  weirId: string
  outletsAtOnce: number
  flowM3PerHByDay: Record<CalendarDate, number[]>
}

export interface WeekOutlet {
  id: string
  number: number
  name: string
  pumpId: string
  flowM3PerH: number
}

export interface WeekPlot {
  id: string
  number: number
  name: string
  holders: string[]
  areaM2: number
  shares: number
  outletIds: string[]
}

export interface WeekClaim {
  plotId: string
  /** The likely need is what counts; the range is shown. */
  needM3: Range
  requestedM3: number | null
  latestOn: CalendarDate | null
}

export interface PastWeek {
  weekStartOn: CalendarDate
  /** Released for turns in that week, drinking water not counted. */
  releasedM3ByWeir: Record<string, number>
  /** A null need was not reckoned and caps nothing. */
  claims: { plotId: string; needM3: number | null }[]
  /** The rule that held then. */
  rule: Pick<WeekRule, 'equalWeight' | 'areaWeight' | 'shareWeight'>
}
