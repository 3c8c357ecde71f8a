import type { CalendarDate } from '../../../domain/calendar.ts'
import type { ChargeLine } from '../../../domain/fees/charge/types.ts'
import type { Id } from '../../../domain/id.ts'
import type { Minor } from '../../../domain/money/money.ts'
import type { Abstraction } from '../../abstractions/draw/store.ts'

/** What is due and not yet posted for one draw, or for one turn that was left without word. */
export interface DueCharge {
  accountId: Id<'account'>
  personId: Id<'person'>
  /** The draw as it now stands, for one that was struck out as it was charged; null for a turn not used. */
  abstractionId: Id<'abstraction'> | null
  draw: Abstraction | null
  /** Null for a draw. */
  missed: MissedTurn | null
  /** What is due by the tariff of the day of delivery. */
  lines: ChargeLine[]
  /** Due less what was posted before: above zero to pay, below zero to give back. */
  differenceMinor: Minor
  /** The charge that this one follows up, after a correction. */
  followsId: string | null
  reason: string
}

export interface MissedTurn {
  turnId: Id<'turn'>
  plotId: Id<'plot'>
  on: CalendarDate
}
