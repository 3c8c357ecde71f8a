import { addDays, type CalendarDate, daysBetween } from '../calendar.ts'

export interface FaultDays {
  foundOn: CalendarDate
  /** The pump, or the outlet that the fault names, cannot run. */
  stops: boolean
  /** The day from which it is said to run again; null where nobody can say. */
  runsAgainOn: CalendarDate | null
  mended: { on: CalendarDate; daysLost: number } | null
}

/** Whole days from the first one on; without an end until somebody writes one. */
export interface Standstill {
  fromOn: CalendarDate
  /** The first day that is open again; null while nobody can say. */
  untilOn: CalendarDate | null
}

/**
 * The whole days on which a fault keeps its pump or outlet from running; null where it keeps nothing. Until it is mended these
 * are the days from the finding to the day from which it is said to run again; afterwards the whole days that were written as
 * lost, at most up to the mending. A part of a day is shared anew on that day itself and is none here. Common practice, no
 * source.
 */
export function standstill({ foundOn, stops, runsAgainOn, mended }: FaultDays): Standstill | null {
  if (!mended) {
    if (!stops || (runsAgainOn !== null && runsAgainOn <= foundOn)) return null
    return { fromOn: foundOn, untilOn: runsAgainOn }
  }
  const lost = Math.floor(mended.daysLost + 1e-9)
  if (lost < 1) return null
  const untilOn = [addDays(foundOn, lost), addDays(mended.on, 1)].toSorted()[0]!
  return { fromOn: foundOn, untilOn }
}

/** Days lost up to a day: as written once it is mended, before that the whole days that have passed standing still. */
export function daysLostTo({ today, ...fault }: FaultDays & { today: CalendarDate }): number {
  if (fault.mended) return fault.mended.daysLost
  const stands = standstill(fault)
  if (!stands) return 0
  const end = [stands.untilOn ?? today, today].toSorted()[0]!
  return Math.max(0, daysBetween(stands.fromOn, end))
}

/** True on a day on which it stands still. */
export function standsOn({ fromOn, untilOn }: Standstill, on: CalendarDate): boolean {
  return on >= fromOn && (untilOn === null || on < untilOn)
}
