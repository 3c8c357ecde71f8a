import type { CalendarDate, Weekday } from '../../calendar.ts'
import type { Id } from '../../id.ts'
import type { M3 } from '../../units.ts'

/** A stretch in which something cannot run; without hours the whole day, without a day every day. */
export interface ClosedHours {
  on?: CalendarDate
  /** Clock hours 0 to 24; a half hour is 0.5. */
  fromHour?: number
  toHour?: number
}

/** Water that a claim is to get at one outlet this week. */
export interface TimetableAllocation {
  claimId: string
  plotId: Id<'plot'>
  outletId: Id<'outlet'>
  /** Whole litres, written in m3. */
  volumeM3: M3
  /** The latest day before the crop suffers: the first of its turns is to come by then. */
  latestOn?: CalendarDate
  /** In so many turns, days apart, where everything can be served so: the first with this part of the water. */
  spaced?: { turns: number; firstPart: number }
  /** When the holder cannot take a turn: night, school, mourning, market. */
  canNot?: ClosedHours[]
  /** When the holder would like a turn: met where it costs nobody water. */
  wished?: ClosedHours[]
  /** 0 at the head of the line, rising to the tail. */
  linePosition?: number
  /** Place among the next names, from 0, where the pump's turns go by list: then they are laid in this order. */
  listPlace?: number
}

interface TimetablePump {
  id: Id<'pump'>
  /** Expected flow in each of the 24 clock hours, as `pumpDay` reckons it. */
  flowM3PerHByDay: Record<CalendarDate, number[]>
}

export interface TimetableOutlet {
  id: Id<'outlet'>
  pumpId: Id<'pump'>
  /** As tested with bucket and watch, or by meter. */
  flowM3PerH: number
  /** Until its line has filled and water comes: added to the changeover before a turn here, and to the start of the pump before the first. */
  fillingMinutes?: number
  /** The raised tank that feeds it by gravity, outside the pump's hours; else the pump does. */
  tankId?: Id<'tank'>
}

/** A raised tank, filled with what the direct turns leave of its pump's flow, and emptied by gravity turns. */
export interface TimetableTank {
  id: Id<'tank'>
  pumpId: Id<'pump'>
  capacityM3: M3
  /** Kept back for the stand; no turn draws below it. */
  floorM3: M3
  /** Stands in it when the week begins. */
  startM3: M3
  /** Clock hours in which gravity turns may run, as far as they are outside the pump's; all of those unless told. */
  gravityHours?: { fromHour: number; toHour: number }[]
}

/** From its start the tank takes all that the turns leave of the pump's flow, until the volume has come. */
export interface TankFill {
  tankId: Id<'tank'>
  pumpId: Id<'pump'>
  on: CalendarDate
  startMinute: number
  endMinute: number
  /** Whole litres, written in m3. */
  volumeM3: M3
}

/** A closure of a pump or an outlet; naming neither closes everything, as a rest day does. */
export interface TimetableClosure extends ClosedHours {
  pumpId?: Id<'pump'>
  outletId?: Id<'outlet'>
}

/** How many outlets of a pump may be open at once (one, unless told), and which pairs; without pairs any. */
export interface OutletsTogether {
  pumpId: Id<'pump'>
  atMost: number
  pairs?: [string, string][]
}

export type Burden = 'dawn' | 'noon' | 'night' | 'rest-weekday' | 'last'

export type BurdenCounts = Partial<Record<Burden, number>>

export interface TimetableRules {
  minTurnMinutes: number
  maxTurnMinutes?: number
  /** From the end of one turn to the start of the next on the same line. */
  changeoverMinutes: number
  /** Turns start on multiples of this; 5 unless told. */
  gridMinutes?: number
  /** Weekdays on which a turn is a burden; Sunday unless told. */
  burdenWeekdays?: Weekday[]
}

export interface TimetableInput {
  week: { startOn: CalendarDate; days: CalendarDate[] }
  allocations: TimetableAllocation[]
  pumps: TimetablePump[]
  outlets: TimetableOutlet[]
  tanks?: TimetableTank[]
  unavailable: TimetableClosure[]
  together?: OutletsTogether[]
  /** Burdens each plot has carried so far in the season. */
  history?: Record<string, BurdenCounts>
  rules: TimetableRules
}

export interface PlannedTurn {
  id: Id<'turn'>
  claimId: string
  plotId: Id<'plot'>
  outletId: Id<'outlet'>
  pumpId: Id<'pump'>
  on: CalendarDate
  /** Place on the pump's list of that day, from 1. Who is earlier on the list draws first; the others share what is left. */
  order: number
  /** Minutes after midnight. */
  startMinute: number
  endMinute: number
  volumeM3: M3
  hours: number
  burdens: Burden[]
}

/**
 * Why water could not be placed: the outlet or its pump gives nothing all week; every hour is closed to this holder;
 * even alone the holder's hours and the outlet's flow carry less; the others' turns fill the rest; the tank cannot hold and
 * turn over more, even with the whole pump to itself.
 */
export type UnplacedReason = 'no-flow' | 'no-open-hours' | 'hours-too-few' | 'pump-full' | 'tank-full'

export interface UnplacedVolume {
  claimId: string
  outletId: Id<'outlet'>
  volumeM3: M3
  reason: UnplacedReason
}

/** What the committee should see although no rule is broken. */
export type TimetableNote =
  | { code: 'after-latest-day'; turnId: Id<'turn'> }
  | { code: 'tail-after-head'; pumpId: Id<'pump'> }

export interface TimetableResult {
  turns: PlannedTurn[]
  unplacedM3: UnplacedVolume[]
  /** How the tanks are filled; missing where there is none. */
  fills?: TankFill[]
  notes: TimetableNote[]
}
