import type { CalendarDate } from '../../calendar.ts'
import type { Id } from '../../id.ts'
import type { PlotClass } from '../../people/plot-class.ts'
import type { M3, Range } from '../../units.ts'
import type { WeekChoice, WeekDrought, WeekRule } from '../rule/types.ts'
import type { PauseCause } from '../turn-list.ts'
import type { TurnFacts } from './turn-facts.ts'

export type { WeekRule } from '../rule/types.ts'

/** Everything that makes a week, as it is frozen with it: plain data, nothing to be looked up later. */
export interface WeekInputs {
  weekStartOn: CalendarDate
  days: CalendarDate[]
  rule: WeekRule
  /** The rule picked for this one week; null shares by evening-out. */
  choice: WeekChoice | null
  /** The declared stage of drought; null while none is declared. */
  drought: WeekDrought | null
  weirs: WeekWeir[]
  pumps: WeekPump[]
  outlets: WeekOutlet[]
  /** Raised tanks with outlets fed by gravity; missing where there is none, and in weeks from before the book kept them. */
  tanks?: WeekTank[]
  plots: WeekPlot[]
  /** Plots with an admitted claim this week. */
  claims: WeekClaim[]
  /** Days of the week before without a written rain, each counted as anything from nothing to a soaking. */
  missingRain?: CalendarDate[]
  notAdmitted: { plotId: Id<'plot'>; reason: 'not-asked' | 'no-crop' | 'need-unknown'; codes: string[] }[]
  /** A rest day of the stream carries no words of its own. */
  closures: WeekClosure[]
  /** Missing in weeks that were published before the book kept it. */
  turnFacts?: TurnFacts
  /** Earlier weeks of the season, for what each plot was entitled to in them. */
  pastWeeks: PastWeek[]
  /** Delivered since the season began, by plot, with what is still due before this week begins. */
  receivedM3: Record<string, number>
  /**
   * The part of it that never came but counts: turns missed without word, and excused ones not made good in time. Plots
   * without any are left out; missing in weeks from before the book kept it.
   */
  countedM3?: Record<string, { forfeitedM3: M3; lapsedM3: M3 }>
  /** Excused turns still to be made good, by plot; they count only under rules that look at one week alone. */
  carryOverM3: Record<string, number>
}

/** A day on which everything, a pump or one of its outlets is shut. */
export interface WeekClosure {
  on: CalendarDate
  pumpId: Id<'pump'> | null
  /** Where only one outlet of the pump is shut. */
  outletId?: Id<'outlet'>
  words: string
  isRestOfStream?: boolean
  /** Why the pump's list is paused. */
  pause?: PauseCause
  /** The fault that keeps it shut; its words say what is wrong. */
  fault?: { id: string; foundOn: CalendarDate }
}

export interface WeekWeir {
  id: Id<'weir'>
  number: number
  name: string
  /** What may be drawn this week, drinking included; zero with a reason when it cannot be said. */
  releasableM3: M3
  drinkingM3: M3
  /** Days that it lasts by the cautious case; kept where a plot can be served from more than one weir. */
  coverDays?: number
  /** The terms of the releasable volume; null when it cannot be said. */
  working: {
    /** When the week begins. */
    availableM3: M3
    /** Drawn, due, drunk and lost between the reading and the week, already taken off. */
    takenM3: M3
    /** Agreed turns without a word in that time, counted as drawn; missing in weeks from before they were. */
    untyped?: { count: number; volumeM3: M3 }
    grade: string
    readOn: CalendarDate
    /** What stays in the sand beyond this week's water. */
    reserveM3: M3
    lateRainOn: CalendarDate
    heldBy: string
    /** Missing in weeks from before the release followed the path of the store; those have the two below in its place. */
    path?: WeekPath
    basis?: 'low' | 'likely'
    weeksLeft?: number
  } | null
  cannotSay: string[]
}

/** The path of a weir's store as a week is frozen with it; volumes in m3. */
export interface WeekPath {
  /** Part of the need, 0..1, that this week and all to come can have alike, and what the water alone would bear. */
  share: number
  bearableShare: number
  /** The share of the last published week; null where there was none. */
  shareBefore: number | null
  /** Of the weir's plots this week. */
  needM3: M3
  /** Drainable water when the week begins. */
  storedM3: M3
  /** Between the off-take and the floor of the path. */
  marginM3: M3
  /** Above the floor; the five below add up to it. */
  aboveFloorM3: M3
  drinkingM3: M3
  lossM3: M3
  cropsM3: M3
  laterCropsM3: M3
  leftM3: M3
  /** Of this week's crops, what the sand would lose until the path ends if it stayed there; not in weeks frozen before. */
  lostIfLeftM3?: M3
  firstDryOn: CalendarDate | null
  keepUntilOn: CalendarDate
  extraWeeks: number
  /** Where the last dry weeks lost more than the measured loss explains. */
  lossRise: {
    rise: number
    lostM3: M3
    expectedM3: M3
    lowerCm: number
    fromOn: CalendarDate
    toOn: CalendarDate
  } | null
}

export interface WeekPump {
  id: Id<'pump'>
  number: number
  name: string
  weirId: Id<'weir'>
  outletsAtOnce: number
  flowM3PerHByDay: Record<CalendarDate, number[]>
  /** What its chamber gives for hours on end, where that holds the pump back. */
  chamberM3PerH?: number
}

export interface WeekOutlet {
  id: Id<'outlet'>
  number: number
  name: string
  pumpId: Id<'pump'>
  flowM3PerH: number
  /** The raised tank that feeds it by gravity. */
  tankId?: Id<'tank'>
}

export interface WeekPlot {
  id: Id<'plot'>
  number: number
  name: string
  holders: string[]
  areaM2: number
  shares: number
  /** People who live from the plot; 0 where nobody wrote it in. */
  persons: number
  outletIds: Id<'outlet'>[]
}

export interface WeekClaim {
  plotId: Id<'plot'>
  /** The likely need is what counts; the range is shown. */
  needM3: Range
  requestedM3: M3 | null
  /** Nothing can be said of its need, so that what it was given in the week before stands in. */
  isAsLastWeek?: boolean
  latestOn: CalendarDate | null
  /**
   * Turns that the roots ask for, the first with this part of the water, and the most that one can bring before it only drains;
   * missing in weeks from before the book kept it.
   */
  turns?: { count: number; firstPart: number; holdsM3: M3 }
  /** The likely need by class of its crops; the parts add up to it. */
  parts: ClaimPart[]
}

export interface ClaimPart {
  class: PlotClass
  needM3: M3
  /** 1 for the stage that suffers most from dryness, among all crops of the week. */
  stageRank: number | null
}

/** What each plot was entitled to in a week that is over, by the rule, the plots and the needs of that week. */
export interface PastWeek {
  weekStartOn: CalendarDate
  entitledM3: Record<string, number>
}

/** A raised tank as a week is frozen with it. */
export interface WeekTank {
  id: Id<'tank'>
  number: number
  name: string
  pumpId: Id<'pump'>
  areaM2: number
  /** Floor times height. */
  capacityM3: M3
  /** Kept back for the stand; 0 where the tank serves none. */
  floorM3: M3
  servesStand: boolean
  /** What the week counts on: the last reading, 0 without one. */
  startM3: M3
  reading: { on: CalendarDate; moment: 'dawn' | 'dusk' } | null
  /** Clock hours set for gravity turns; null for all outside the pump's. */
  gravityHours: { fromHour: number; toHour: number }[] | null
}
