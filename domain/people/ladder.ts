import { addDays, type CalendarDate } from '../calendar.ts'

/** Who hears a matter and decides about it. */
export const HEARING_BODIES = ['attendant', 'committee', 'meeting', 'elders'] as const
export type HearingBody = (typeof HEARING_BODIES)[number]

/** The steps of the ladder, the lightest first. */
export type LadderStep = 'word' | 'warning' | 'fine'

/** A step that was taken: it counts from its hearing until the day on which it lapses, unless an appeal lifted it. */
export interface StepTaken {
  step: LadderStep
  heardOn: CalendarDate
  lapseOn: CalendarDate
  isLifted: boolean
}

/** What the group wrote that a conduct leads to: so many words, then so many warnings, then a fine or none. */
export interface ConductRule {
  wordsBefore: number
  warningsBefore: number
  /** Days for which a step counts, from its hearing. */
  lapseDays: number
  /** The fine in minor units, or as a part of what a turn was charged, in per cent; both null where it leads to none. */
  fineMinor: number | null
  finePercent: number | null
}

/** Whether a step counts on a day: from its hearing until the day before it lapses. **ours**. */
export function countsOn({ heardOn, lapseOn, isLifted }: StepTaken, on: CalendarDate): boolean {
  return !isLifted && heardOn <= on && on < lapseOn
}

/** How many of each step count on a day. */
export function counting(taken: readonly StepTaken[], on: CalendarDate): Record<LadderStep, number> {
  const many = { word: 0, warning: 0, fine: 0 }
  for (const one of taken) if (countsOn(one, on)) many[one.step]++
  return many
}

/** A step lapses after a season, in days, where no rule and nobody says another time. Common practice, no source. */
export const USUAL_LAPSE_DAYS = 180

/** Where nothing is written: a word, a warning, then a fine. */
const UNWRITTEN = { wordsBefore: 1, warningsBefore: 1, leadsToFine: true }

/**
 * The step that the rule names next, by the steps that still count on the day: its words, then its warnings, then the fine. A
 * heavier step that counts stands for the lighter ones before it, and a rule without a fine names its last step again. Source: E.
 * Ostrom, Design principles in long-enduring irrigation institutions, 1993, graduated sanctions (from memory).
 */
export function nextStep(taken: readonly StepTaken[], on: CalendarDate, rule: ConductRule | null = null): LadderStep {
  const { wordsBefore, warningsBefore, leadsToFine } = rule ? { ...rule, leadsToFine: isFined(rule) } : UNWRITTEN
  const { word, warning, fine } = counting(taken, on)
  if (fine > 0 && leadsToFine) return 'fine'
  const mayWarn = warningsBefore > 0 || leadsToFine
  if ((word < wordsBefore && warning + fine === 0) || !mayWarn) return 'word'
  return warning >= warningsBefore && leadsToFine ? 'fine' : 'warning'
}

/** Whether a rule leads to a fine at all. */
export function isFined({ fineMinor, finePercent }: ConductRule): boolean {
  return fineMinor !== null || finePercent !== null
}

/** The day from which a step heard on a day no longer counts. */
export function lapsesOn({ lapseDays }: ConductRule, heardOn: CalendarDate): CalendarDate {
  return addDays(heardOn, lapseDays)
}

/**
 * The fine that a rule names, in minor units, rounded half up: its amount, or its part of what the last turn was charged (`turnMinor`).
 * Null where the rule names none, or where no turn was charged yet. **ours**.
 */
export function fineOf({ fineMinor, finePercent }: ConductRule, turnMinor: number | null): number | null {
  if (fineMinor !== null) return fineMinor
  return finePercent === null || turnMinor === null ? null : Math.round((turnMinor * finePercent) / 100)
}
