import type { CalendarDate } from '../../domain/calendar.ts'
import type { Id } from '../../domain/id.ts'
import type { M3 } from '../../domain/units.ts'
import type { Database } from '../database/connection.ts'

/** Water that was taken from a weir, as its balance counts it. */
export interface WeirDraw {
  id: Id<'abstraction'>
  onDate: CalendarDate
  use: 'irrigation' | 'drinking' | 'stock' | 'flushing' | 'other'
  weirId: Id<'weir'>
  /** Null when the water was drawn from the weir by hand. */
  pumpId: Id<'pump'> | null
  plotNumber: number | null
  volumeM3: M3
  uncertaintyM3: M3
  grade: 'measured' | 'estimated'
}

interface Span {
  fromOn: CalendarDate
  toOn: CalendarDate
}

/** What the pages of the sand want to hear from the weather book and from the log, rooms that come later. */
export interface WaterAsks {
  /** The draws that stand, both days included. */
  draws(db: Database, span: Span): Promise<WeirDraw[]>
  /** What the meters of a weir's pumps showed, as times what their turns add up to; null where too few days were read. */
  metersOverLog(db: Database, weirId: Id<'weir'>, span: Span): Promise<number | null>
  /** The days of the weather book; null rain where nobody read it. */
  rainDays(db: Database, span: Span): Promise<{ onDate: CalendarDate; rainMm: number | null }[]>
}
