import type { CalendarDate, Instant } from '../../domain/calendar.ts'
import type { Id } from '../../domain/id.ts'
import type { M3 } from '../../domain/units.ts'
import type { WeekRhythm } from '../../domain/weeks.ts'
import type { Database } from '../database/connection.ts'

/** A line of the log as far as turns and plots are concerned with it. */
export interface LoggedDraw {
  id: Id<'abstraction'>
  onDate: CalendarDate
  use: 'irrigation' | 'drinking' | 'stock' | 'flushing' | 'other'
  weirId: Id<'weir'>
  plotId: Id<'plot'> | null
  plotNumber: number | null
  turnId: Id<'turn'> | null
  /** Clock times `HH:MM` of the group's zone, where they were written. */
  startTime: string | null
  endTime: string | null
  pumpNumber: number | null
  outletNumber: number | null
  weirName: string
  volumeM3: M3
  uncertaintyM3: M3
  grade: 'measured' | 'estimated'
  writtenAt: Instant
  writerName: string
}

export interface DrawCorrection {
  reason: string
  writtenAt: Instant
  writerName: string
  /** True when it only strikes the old line out and states nothing in its place. */
  strikesOut: boolean
}

interface Span {
  fromOn: CalendarDate
  toOn: CalendarDate
}

/** Prices in minor units of the group's currency, as the tariff in force has them; null where it has none of that kind. */
export interface WaterPrices {
  perPumpHourMinor: number | null
  perM3Minor: number | null
}

/** Money of a plot's water or unused turn on a day: below zero what was given back. */
export interface PlotCharge {
  id: Id<'transfer'>
  onDate: CalendarDate
  amountMinor: number
  personId: Id<'person'>
  writtenAt: Instant
  /** The charge that it puts right; null for one of its own. */
  correctsId: string | null
}

/** What turns want to hear from rooms that come later: the log of what was drawn, and the prices. */
export interface RotationAsks {
  /** The draws that stand, both days included, by day and then by the hour. */
  draws(db: Database, span: Span): Promise<LoggedDraw[]>
  /** What is odd about each draw of a day and was not settled yet: the code of the first of it, by the draw. */
  oddOn(db: Database, day: { on: CalendarDate; timeZone: string }): Promise<Map<string, string>>
  /** The draws that stand for one turn, on whatever day. */
  drawsOfTurns(db: Database, turnIds: readonly Id<'turn'>[]): Promise<LoggedDraw[]>
  /** Every draw of a plot that was ever written, also those that a correction has replaced since. */
  drawsEverWritten(db: Database, span: Span & { plotId: Id<'plot'> }): Promise<LoggedDraw[]>
  /** What took the place of some draws later, by the draw. */
  correctionsOf(db: Database, drawIds: readonly Id<'abstraction'>[]): Promise<Map<string, DrawCorrection>>
  /** Irrigation water that each plot received, m3. */
  deliveredByPlot(db: Database, span: Span): Promise<Map<string, number>>
  /** The same by the first day of each week. */
  deliveredByPlotAndWeek(
    db: Database,
    span: Span & { rhythm: WeekRhythm },
  ): Promise<Map<CalendarDate, Map<string, number>>>
  pricesOn(db: Database, on: CalendarDate): Promise<WaterPrices>
  chargesOfPlot(db: Database, span: Span & { plotId: Id<'plot'> }): Promise<PlotCharge[]>
}
