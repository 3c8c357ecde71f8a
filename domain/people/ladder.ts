import type { CalendarDate } from '../calendar.ts'

/** Who hears a matter and decides about it. */
export const HEARING_BODIES = ['attendant', 'committee', 'meeting', 'elders'] as const
export type HearingBody = (typeof HEARING_BODIES)[number]

/** The steps of the ladder, the lightest first. */
const LADDER = ['word', 'warning', 'fine'] as const
type LadderStep = (typeof LADDER)[number]

/** A step that was taken: it counts from its hearing until the day on which it lapses, unless an appeal lifted it. */
export interface StepTaken {
  step: LadderStep
  heardOn: CalendarDate
  lapseOn: CalendarDate
  isLifted: boolean
}

/** Whether a step counts on a day: from its hearing until the day before it lapses. **ours**. */
export function countsOn({ heardOn, lapseOn, isLifted }: StepTaken, on: CalendarDate): boolean {
  return !isLifted && heardOn <= on && on < lapseOn
}

/**
 * The step that the ladder offers next: one above the highest that still counts on the day, at most a fine, and a word where none
 * counts. Source: E. Ostrom, Design principles in long-enduring irrigation institutions, 1993, graduated sanctions (from memory).
 */
export function nextStep(taken: readonly StepTaken[], on: CalendarDate): LadderStep {
  const highest = Math.max(-1, ...taken.filter((one) => countsOn(one, on)).map(({ step }) => LADDER.indexOf(step)))
  return LADDER[Math.min(highest + 1, LADDER.length - 1)]!
}
