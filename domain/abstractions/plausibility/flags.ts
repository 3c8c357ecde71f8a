import type { Flag, PlausibilityInput } from './logged-turn.ts'
import { meterFlags } from './meter-flags.ts'
import { timeFlags } from './time-flags.ts'

/**
 * Everything odd about a logged turn, each with the cause to look at first. It never refuses an entry: the water is
 * running, and people settle the flags later. What is not known is not judged.
 */
export function plausibility(input: PlausibilityInput): Flag[] {
  return [...timeFlags(input), ...meterFlags(input), ...placeFlags(input)]
}

/** An outlet that the named pump does not reach: the pump is wrong, or the outlet's number was misread. */
function placeFlags({ turn, outletPumpIds, pumpOutletIds = [] }: PlausibilityInput): Flag[] {
  const { outletId, pumpId } = turn
  if (outletPumpIds === undefined || outletPumpIds.includes(pumpId)) return []
  const meant = pumpOutletIds.filter((id) => looksAlike(id, outletId))
  const values: Flag['values'] = { outletId, pumpId }
  if (meant.length !== 1) return [{ code: 'outlet-on-another-pump', values, likelyCause: 'cannot-tell' }]
  const suggested = { ...values, suggestedOutletId: meant[0]! }
  return [{ code: 'outlet-on-another-pump', values: suggested, likelyCause: 'outlet-number-misread' }]
}

/** Numbers that are taken for each other on a dusty plate: 6 and 9, 1 and 7, or two digits swapped (common practice, no source). */
function looksAlike(one: string, other: string): boolean {
  if (one === other || one.length !== other.length) return false
  if ([...one].toSorted().join('') === [...other].toSorted().join('')) return true
  return [...one].every((sign, at) => sign === other[at] || ['69', '96', '17', '71'].includes(sign + other[at]))
}
