import type { Instant } from '../../calendar.ts'
import type { Id } from '../../id.ts'
import type { M3 } from '../../units.ts'
export interface TurnFacts {
  outletId: Id<'outlet'>
  pumpId: Id<'pump'>
  /** The meter that was read; turns that share it cannot run at the same time without mixing their volumes. */
  meterId?: Id<'pump'>
  /** Instants, UTC ISO text. */
  startAt?: Instant
  stopAt?: Instant
  openingM3?: M3
  closingM3?: M3
  meterDigits?: number
  /** The measured volume, when it does not come from the readings above. */
  volumeM3?: M3
}

export interface OtherTurn {
  id: string
  outletId: Id<'outlet'>
  meterId?: Id<'pump'>
  startAt: Instant
  stopAt: Instant
}

export interface PlausibilityInput {
  turn: TurnFacts
  /** When the entry is written, and when the entry before it in the same book was. */
  writtenAt?: Instant
  /** The day that was written for the draw, as an instant within it. */
  happenedAt?: Instant
  previousWrittenAt?: Instant
  pumpMaxM3PerH?: number
  /** Hours from the pump's first hour to its last. */
  pumpDayHours?: number
  outletMaxM3PerH?: number
  /** The pumps that reach the outlet, and the outlets that the named pump reaches. */
  outletPumpIds?: readonly string[]
  pumpOutletIds?: readonly string[]
  plan?: { startAt: Instant; stopAt: Instant; volumeM3?: M3 }
  /** Readings of the same meter before and after this turn. */
  previousClosingM3?: M3
  nextOpeningM3?: M3
  /** Nobody read the start of this turn, or of the next: the closing before stands in and bears nothing out. */
  startUnread?: boolean
  nextStartUnread?: boolean
  others?: readonly OtherTurn[]
  /** How much faster than the pump or outlet is still no matter; one tenth unless said otherwise (common practice, no source). */
  toleranceFraction?: number
}

type FlagCode =
  | 'closing-below-opening'
  | 'reading-longer-than-meter'
  | 'faster-than-pump'
  | 'faster-than-outlet'
  | 'more-than-planned'
  | 'more-than-a-pump-day'
  | 'outside-the-plan'
  | 'overlaps-another-turn'
  | 'gap-to-last-reading'
  | 'gap-to-next-reading'
  | 'stop-before-start'
  | 'hour-in-the-future'
  | 'clock-jumped-back'
  | 'day-long-before-writing'
  | 'outlet-on-another-pump'

export type LikelyCause =
  | 'meter-rolled-over'
  | 'digits-swapped'
  | 'readings-exchanged'
  | 'litres-read-as-m3'
  | 'unrecorded-taker'
  | 'reading-copied-wrong'
  | 'meter-replaced'
  | 'amount-written-wrong'
  | 'two-outlets-open'
  | 'flow-test-out-of-date'
  | 'morning-for-afternoon'
  | 'past-midnight'
  | 'turn-moved'
  | 'date-or-clock-wrong'
  | 'outlet-number-misread'
  | 'cannot-tell'

export interface Flag {
  code: FlagCode
  values: Record<string, string | number>
  likelyCause: LikelyCause
}

/** Hours between start and stop; null when either is missing or they run backwards. */
export function turnHours({ startAt, stopAt }: { startAt?: Instant; stopAt?: Instant }): number | null {
  if (startAt === undefined || stopAt === undefined) return null
  const hours = (Date.parse(stopAt) - Date.parse(startAt)) / 3_600_000
  return hours > 0 ? hours : null
}
