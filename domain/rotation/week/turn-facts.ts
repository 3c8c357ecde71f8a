import type { CalendarDate } from '../../calendar.ts'
import type { Id } from '../../id.ts'
import type { PumpMount, Sky } from '../../works/pump-day.ts'
import type { BurdenCounts, ClosedHours } from '../timetable/types.ts'
import type { ManualChange } from './manual-change.ts'

/** What the turns of a week rest on besides its water, frozen with the week. */
export interface TurnFacts {
  pumps: PumpFacts[]
  /** Hours at which the holders of a plot cannot take a turn, in their own words. */
  noTurnHours: (ClosedHours & { plotId: Id<'plot'>; words: string })[]
  /** Hours in which the holders of a plot wish for a turn; missing in weeks from before the timetable looked at them. */
  wishedHours?: (ClosedHours & { plotId: Id<'plot'> })[]
  /** 1 next to the pump, rising to the tail; plots left out have no place on a line yet. */
  linePositions: Record<string, number>
  /** Outlets of one pump that must not be open at once. */
  notTogether: [string, string][]
  /** Minutes until an outlet's line has filled and water comes. */
  fillingMinutes: Record<string, number>
  /** Hard hours that each plot has taken in the published weeks of the season. */
  burdens: Record<string, BurdenCounts>
  /** Plots held by an officer of the group. */
  officerPlotIds: Id<'plot'>[]
  /** The next names of each pump whose turns go by list; missing in weeks from before lists led the week. */
  lists?: { pumpId: Id<'pump'>; plotIds: Id<'plot'>[] }[]
  /** How long turns last by the group's own setting; missing where it never set any. */
  lengths?: TurnLengths
  /** What the committee changed by hand, in the order in which it was written. */
  changes: ManualChange[]
}

export interface TurnLengths {
  minTurnMinutes: number
  maxTurnMinutes?: number
  changeoverMinutes: number
}

/** Why a pump is expected to give what it gives. */
export interface PumpFacts {
  pumpId: Id<'pump'>
  mount: PumpMount
  /** Null where no mount was ever written: then it is fixed. */
  mountFromOn: CalendarDate | null
  skyByDay: Record<CalendarDate, Sky>
  dayM3ByDay: Record<CalendarDate, number>
  /** Days of the pump's own log behind each sky; a sky without them goes by the pump's description. */
  loggedDays: Partial<Record<Sky, number>>
}
