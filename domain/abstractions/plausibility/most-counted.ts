import { exactM3, type M3 } from '../../units.ts'
import { type PlausibilityInput, turnHours } from './logged-turn.ts'

/** Clock times are written to the quarter of an hour, at either end (common practice, no source). */
const CLOCK_SLACK_HOURS = 0.5
/** The most that the sun shines anywhere people farm; stands in while a pump's hours are not known. */
const LONGEST_DAY_HOURS = 14

export interface MostCounted {
  /** A meter reading that gives more than this is not counted as it was read. */
  mostM3: M3
  /** The most the pump gives in one whole day. */
  wholeDayM3: M3
}

/**
 * How much two meter readings may give before nothing but a wrong reading explains them: the pump's flow, with the usual
 * tenth over it, in the hours written and a half-hour of slack; without hours, in the pump's whole day. The outlet's test
 * does not count here, since it ages and a meter is the better witness. Null where the pump's flow is not known.
 */
export function mostCounted({ turn, pumpMaxM3PerH, pumpDayHours, toleranceFraction = 0.1 }: PlausibilityInput) {
  if (pumpMaxM3PerH === undefined) return null
  const dayHours = pumpDayHours ?? LONGEST_DAY_HOURS
  const hours = turnHours(turn)
  const flowM3PerH = pumpMaxM3PerH * (1 + toleranceFraction)
  return {
    mostM3: exactM3(flowM3PerH * (hours === null ? dayHours : hours + CLOCK_SLACK_HOURS)),
    wholeDayM3: exactM3(flowM3PerH * Math.max(dayHours, hours ?? 0)),
  } satisfies MostCounted
}

/**
 * What stands in for an absurd volume: what the pump gave by the clock where it was written, else nothing. The doubt carries
 * the rest of what was read, but never more than a whole day's pumping, so that one slip of the pen cannot hide a season.
 */
export function countedInstead({
  readM3,
  byClockM3,
  byClockErrorM3,
  most,
}: {
  readM3: M3
  byClockM3: M3 | null
  byClockErrorM3: M3
  most: MostCounted
}): { volumeM3: M3; uncertaintyM3: M3 } {
  const volumeM3 = Math.min(byClockM3 ?? 0, most.wholeDayM3)
  const restM3 = Math.min(readM3, most.wholeDayM3) - volumeM3
  return { volumeM3, uncertaintyM3: Math.max(byClockErrorM3, restM3) }
}
