import type { Flag, PlausibilityInput } from './logged-turn.ts'
import { meterFlags } from './meter-flags.ts'
import { placeFlags } from './place-flags.ts'
import { timeFlags } from './time-flags.ts'

/**
 * Everything odd about a logged turn, each with the cause to look at first. It never refuses an entry: the water is
 * running, and people settle the flags later. What is not known is not judged.
 */
export function plausibility(input: PlausibilityInput): Flag[] {
  return [...timeFlags(input), ...meterFlags(input), ...placeFlags(input)]
}
