import { addDays, type CalendarDate } from '../../calendar.ts'
import { sum } from '../../sum.ts'
import type { M3 } from '../../units.ts'
import type { CarryOverTerms } from './types.ts'

/** Why a turn was missed; the cause alone decides what becomes of it. */
export type MissedCause = 'excused' | 'no-show' | 'breakdown'

interface MissedTurn {
  on: CalendarDate
  cause: MissedCause
  volumeM3: M3
}

interface CarriedOver {
  carryOverM3: M3
  /** The last day on which the earliest of it can still be made good; null where nothing is carried. */
  expiresOn: CalendarDate | null
}

/**
 * What a plot may make good in a week under a rule that looks at one week alone. Excused: once, within the rule's days
 * and up to its cap; without word: lost; a common breakdown: nobody carries anything. The evening-out rule needs none of
 * this, since there a shortfall is evened out by the level. `missed` holds only turns that were not made good before.
 * Source: the group's own rule; common practice, no source.
 */
export function carriedOver({
  missed,
  terms,
  weekStartOn,
  needM3,
}: {
  missed: readonly MissedTurn[]
  terms: CarryOverTerms
  weekStartOn: CalendarDate
  needM3: M3
}): CarriedOver {
  const running = missed.filter(
    ({ cause, on }) => cause === 'excused' && on < weekStartOn && addDays(on, terms.excusedDays) >= weekStartOn,
  )
  const sumM3 = sum(running, ({ volumeM3 }) => volumeM3)
  const carryOverM3 = Math.min(sumM3, (terms.excusedCapPart ?? Number.POSITIVE_INFINITY) * needM3)
  if (!(carryOverM3 > 0)) return { carryOverM3: 0, expiresOn: null }
  const earliest = running.map(({ on }) => on).sort()[0]!
  return { carryOverM3, expiresOn: addDays(earliest, terms.excusedDays) }
}
