import type { CalendarDate } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
import type { M3 } from '../../../domain/units.ts'
export interface RotationTables {
  sharingRule: {
    entryId: string
    fromOn: CalendarDate
    admission: string
    declaredOn: CalendarDate | null
    sparePart: number
    excusedDays: number
    excusedCapPart: number | null
  }
  ruleMix: {
    entryId: string
    weirId: Id<'weir'> | null
    equalWeight: number
    areaWeight: number
    shareWeight: number
    personsWeight: number
    needWeight: number
    areaCapM2: number | null
  }
  ruleClass: { entryId: string; class: string; place: number; minimumPart: number | null }
  ruleProtected: { entryId: string; plotId: Id<'plot'>; upToStage: number | null }
  plotHousehold: { entryId: string; plotId: Id<'plot'>; fromOn: CalendarDate; persons: number }
  planClass: { entryId: string; planId: Id<'plan'>; fromOn: CalendarDate; class: string | null }
  weekRule: { entryId: string; weekStartOn: CalendarDate; rule: string }
  waterRequest: { entryId: string; plotId: Id<'plot'>; weekStartOn: CalendarDate; volumeM3: M3 | null }
  noTurnDay: { entryId: string; onDate: string; pumpId: Id<'pump'> | null; words: string }
  publishedWeek: {
    entryId: string
    weekStartOn: CalendarDate
    formatVersion: number
    engineVersion: string
    inputs: string
    results: string
  }
  /** Of two publications of one week the one that the group goes by; it holds with its second name. */
  weekChosen: { entryId: string; weekStartOn: CalendarDate; publishedId: string }
  turn: {
    entryId: string
    id: string
    plotId: Id<'plot'> | null
    outletId: Id<'outlet'>
    pumpId: Id<'pump'>
    onDate: string
    startMinute: number
    endMinute: number
    volumeM3: M3
  }
  pumpMount: { entryId: string; pumpId: Id<'pump'>; fromOn: CalendarDate; mount: string }
  /** The sky that the committee expects, day by day; the last entry of a week counts. */
  weekSky: { entryId: string; weekStartOn: CalendarDate; onDate: string; sky: string }
  /** The sky that was seen over a pump, and whether it ran all day. */
  pumpDaySky: { entryId: string; pumpId: Id<'pump'>; onDate: string; sky: string; wholeDay: number }
  noTurnHours: {
    entryId: string
    personId: Id<'person'>
    fromOn: CalendarDate
    untilOn: CalendarDate | null
    weekday: number | null
    marketDay: number | null
    fromHour: number
    toHour: number
    words: string
  }
  /** Days, or hours that come round, on which the group or one household does not water. */
  noTurnCustom: {
    entryId: string
    cause: string
    personId: Id<'person'> | null
    fromOn: CalendarDate
    untilOn: CalendarDate | null
    weekday: number | null
    marketDay: number | null
    fromHour: number
    toHour: number
    words: string
  }
  /** 1 next to the pump, rising to the tail. */
  linePosition: { entryId: string; plotId: Id<'plot'>; fromOn: CalendarDate; position: number }
  turnLength: {
    entryId: string
    fromOn: CalendarDate
    shortestMinutes: number
    longestMinutes: number | null
    changeoverMinutes: number
  }
  outletFilling: { entryId: string; outletId: Id<'outlet'>; fromOn: CalendarDate; minutes: number }
  outletPair: {
    entryId: string
    outletAId: Id<'outlet'>
    outletBId: Id<'outlet'>
    fromOn: CalendarDate
    together: number
  }
  /** The groups that a person counts in from a day on; a row without a name stands for none. */
  holderGroup: { entryId: string; personId: Id<'person'>; fromOn: CalendarDate; name: string | null }
  turnChange: {
    entryId: string
    weekStartOn: CalendarDate
    stage: string
    kind: string
    turnId: Id<'turn'> | null
    plotId: Id<'plot'>
    outletId: Id<'outlet'>
    wasOn: CalendarDate | null
    onDate: string | null
    startMinute: number | null
    volumeM3: M3 | null
  }
  turnOutcome: {
    entryId: string
    turnId: Id<'turn'>
    cause: string
    standInId: Id<'person'> | null
    words: string | null
  }
  /** Hangs on the outcome that excuses a turn; `decidedFor` is empty where word came before the turn's hour. */
  turnExcuse: { entryId: string; onDate: CalendarDate; clock: string; through: string; decidedFor: string | null }
  /** What the pump's meter showed when it began; of several the last written one counts. */
  turnStart: { entryId: string; turnId: Id<'turn'>; meterM3: M3 }
  dayChange: {
    entryId: string
    weekStartOn: CalendarDate
    onDate: string
    pumpId: Id<'pump'>
    kind: string
    fromMinute: number
    untilMinute: number | null
  }
  /** Hangs on a day's change: what the pump had given by then, and what it was to have given. */
  dayGiven: { entryId: string; givenM3: M3; expectedM3: M3 }
  shortDayRule: { entryId: string; fromOn: CalendarDate; rule: string }
  /** Hangs on the amendment of the turn that a day shared anew has changed; what is short stays visible. */
  resharedTurn: {
    entryId: string
    dayChangeId: string
    turnId: Id<'turn'>
    plotId: Id<'plot'>
    wasM3: M3
    nowM3: M3
  }
  /** A day's sheet as it was closed; `found` holds its counts and sums as JSON. */
  daySheet: { entryId: string; onDate: string; found: string }
  standingRequest: {
    entryId: string
    plotId: Id<'plot'>
    fromOn: CalendarDate
    untilOn: CalendarDate | null
    volumeM3: M3 | null
  }
  /** Hangs on a request or a standing request. */
  requestTime: {
    entryId: string
    kind: string
    weekday: number | null
    marketDay: number | null
    fromHour: number
    toHour: number
  }
  requestUrgent: { entryId: string; words: string }
  urgentQuota: { entryId: string; fromOn: CalendarDate; perMonth: number }
  turnList: { entryId: string; pumpId: Id<'pump'>; fromOn: CalendarDate; perDay: number }
  turnListPlace: { entryId: string; place: number; plotId: Id<'plot'> }
  turnListServed: { entryId: string; pumpId: Id<'pump'>; plotId: Id<'plot'>; onDate: string }
  turnListPause: {
    entryId: string
    pumpId: Id<'pump'>
    fromOn: CalendarDate
    untilOn: CalendarDate | null
    cause: string
    words: string | null
  }
  booking: { entryId: string; weekStartOn: CalendarDate; turnId: Id<'turn'>; plotId: Id<'plot'>; volumeM3: M3 }
  turnSwap: {
    entryId: string
    weekStartOn: CalendarDate
    turnId: Id<'turn'>
    otherTurnId: Id<'turn'> | null
    toPlotId: Id<'plot'>
    payer: string
  }
  /** How it was given where somebody else wrote it in; null in one's own word and in older ones. */
  swapConsent: {
    entryId: string
    swapId: Id<'swap'>
    plotId: Id<'plot'>
    personId: Id<'person'>
    given: string | null
  }
  /** Hangs on the amendment that brought in a turn of an agreed swap or gift: the plot whose holder pays for it. */
  swappedTurn: { entryId: string; swapId: Id<'swap'>; turnId: Id<'turn'>; payerPlotId: Id<'plot'> }
  /** Hangs on the amendment of a reshared turn: what had come before the day changed, by the log or by the plan. */
  resharedDrawn: { entryId: string; drawnM3: M3; basis: string }
  /** Hangs on the amendment of a turn that moved up into hours which became free. */
  movedUpTurn: { entryId: string; freedTurnId: Id<'turn'>; turnId: Id<'turn'> }
  /** From which day an outlet hangs on a raised tank; no tank means straight on its pump again. */
  tankOutlet: { entryId: string; outletId: Id<'outlet'>; tankId: Id<'tank'> | null; fromOn: CalendarDate }
  tankUse: {
    entryId: string
    tankId: Id<'tank'>
    fromOn: CalendarDate
    fromHour: number | null
    toHour: number | null
    keptM3: M3
    servesStand: number
  }
}
