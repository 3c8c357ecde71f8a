import { meterFlags } from './plausible-meter.ts'
import { placeFlags } from './plausible-place.ts'
import { timeFlags } from './plausible-time.ts'
import type { Flag, PlausibilityInput } from './turn-facts.ts'

/**
 * Everything odd about a logged turn, each with the cause to look at first. It never refuses an entry: the water is
 * running, and people settle the flags later. What is not known is not judged.
 */
export function plausibility(input: PlausibilityInput): Flag[] {
  return [...timeFlags(input), ...meterFlags(input), ...placeFlags(input)]
}
