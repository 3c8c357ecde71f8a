import { addDays, type CalendarDate, daysBetween, weeksBetween } from '../calendar.ts'
import { InputError } from '../input-error.ts'
import { litresToM3 } from '../units.ts'
import type { EvidenceGrade } from './sand/body.ts'
import type { VolumeRangeM3 } from './sand/storage.ts'

export interface WaterUsers {
  kind: string
  heads: number
  litresPerHeadDay: number
}

/** What people, school and animals of a weir drink in a day, from the head counts that the group declared. */
export function dailyDrinkingM3({ users }: { users: readonly WaterUsers[] }): number {
  let litres = 0
  for (const { kind, heads, litresPerHeadDay } of users) {
    if (!(heads >= 0)) throw new InputError('heads-below-zero', { kind, heads })
    if (!(litresPerHeadDay >= 0)) throw new InputError('litres-below-zero', { kind, litresPerHeadDay })
    litres += heads * litresPerHeadDay
  }
  return litresToM3(litres)
}

export interface DailyKeep {
  dailyDrinkingM3: number
  /** What the sand loses by itself in a day; below zero where the banks give water back. */
  dailyLossM3: number
}

/**
 * Water to keep from a date up to the late date of rain: drinking and loss of every day between. Nothing once that date
 * is past, and never below zero. A line that falls as it is drunk.
 */
export function reserveM3({
  dailyDrinkingM3,
  dailyLossM3,
  fromDate,
  lateRainOn,
}: DailyKeep & { fromDate: CalendarDate; lateRainOn: CalendarDate }): number {
  const days = Math.max(0, daysBetween(fromDate, lateRainOn))
  return Math.max(0, (dailyDrinkingM3 + dailyLossM3) * days)
}

/** What is still available once a volume has left the sand; none of the three falls below nothing. */
export function availableAfterTakingM3({
  available,
  takenM3,
}: {
  available: VolumeRangeM3
  takenM3: number
}): VolumeRangeM3 {
  return {
    lowM3: Math.max(0, available.lowM3 - takenM3),
    likelyM3: Math.max(0, available.likelyM3 - takenM3),
    highM3: Math.max(0, available.highM3 - takenM3),
  }
}

export interface ReleasableInput extends DailyKeep {
  available: VolumeRangeM3
  grade: EvidenceGrade
  weekStartOn: CalendarDate
  /** The last day of the season. */
  seasonEndOn: CalendarDate
  lateRainOn: CalendarDate
}

export interface ReleasableThisWeek {
  releasableM3: number
  /** The terms, for the page that explains them: (available - reserve) / weeks left. */
  availableM3: number
  basis: 'low' | 'likely'
  reserveM3: number
  reserveFromOn: CalendarDate
  reserveDays: number
  weeksLeft: number
  /** This week's drinking water, the first tier of what is released. */
  drinkingThisWeekM3: number
  heldBy: 'plan' | 'drinking-first' | 'nothing-above-off-take'
}

/**
 * What may be drawn from a weir this week, drinking included: (available storage - reserve from the end of this week
 * on) / weeks left, at least one. Until the sand is probed the low figure counts. The week's own drinking water is
 * released with it, so it is counted once; when the reserve leaves less than that, people and animals still come first,
 * as far as there is water.
 */
export function releasableThisWeekM3(input: ReleasableInput): ReleasableThisWeek {
  const { available, grade, weekStartOn, seasonEndOn, lateRainOn, dailyDrinkingM3, dailyLossM3 } = input
  const basis = grade === 'guessed' ? 'low' : 'likely'
  const availableM3 = Math.max(0, basis === 'low' ? available.lowM3 : available.likelyM3)
  const reserveFromOn = addDays(weekStartOn, 7)
  const keepM3 = reserveM3({ dailyDrinkingM3, dailyLossM3, fromDate: reserveFromOn, lateRainOn })
  const weeksLeft = Math.max(1, weeksBetween(weekStartOn, addDays(seasonEndOn, 1)))
  const planM3 = Math.max(0, (availableM3 - keepM3) / weeksLeft)
  const drinkingThisWeekM3 = dailyDrinkingM3 * 7
  const drinkingFirstM3 = Math.min(availableM3, drinkingThisWeekM3)
  return {
    releasableM3: Math.max(planM3, drinkingFirstM3),
    availableM3,
    basis,
    reserveM3: keepM3,
    reserveFromOn,
    reserveDays: Math.max(0, daysBetween(reserveFromOn, lateRainOn)),
    weeksLeft,
    drinkingThisWeekM3,
    heldBy: availableM3 === 0 ? 'nothing-above-off-take' : planM3 >= drinkingFirstM3 ? 'plan' : 'drinking-first',
  }
}
