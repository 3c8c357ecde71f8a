import type { CalendarDate } from '../../../domain/calendar.ts'
import type { ChargedAbstraction, ChargeLine } from '../../../domain/fees/charge/types.ts'
import { DRINKING } from '../../../domain/fees/tariff/tariff.ts'
import type { Id } from '../../../domain/id.ts'
import type { Minor } from '../../../domain/money/money.ts'
import { type Abstraction, clockHours } from '../../abstractions/draw/store.ts'

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

/**
 * A draw as it is charged. People's and animals' water go by the same price, which is nothing unless the group set one.
 * Pump hours are those that were written, else those between the clock times, an hour more or less on the night of a
 * clock change.
 */
export function chargedDraw({
  draw,
  timeZone,
  planned,
  chargedPlace,
}: {
  draw: Abstraction
  timeZone: string
  /** What was agreed for each turn. */
  planned: ReadonlyMap<string, number>
  chargedPlace: number | undefined
}): ChargedAbstraction {
  const { id, onDate, volumeM3, grade, use, startTime, endTime } = draw
  const hours = draw.hours ?? clockHours(onDate, startTime, endTime, timeZone)
  const plannedM3 = planned.get(draw.turnId ?? '')
  return {
    id,
    on: onDate,
    volumeM3,
    grade,
    use: use === 'irrigation' ? use : DRINKING,
    ...(hours !== null && { pumpHours: hours }),
    ...(plannedM3 !== undefined && { plannedM3 }),
    ...(chargedPlace !== undefined && { chargedPlace }),
  }
}
