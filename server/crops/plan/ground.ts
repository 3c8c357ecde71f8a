import { addDays, type CalendarDate } from '../../../domain/calendar.ts'
import { seasonLengthDays } from '../../../domain/crops/crop/stages.ts'
import { sum } from '../../../domain/sum.ts'
import type { Plot } from '../../people/plot/store.ts'
import type { PlannedCrop } from './store.ts'

/** Last day that a crop is in the ground by the book; null for one that stands for years. */
export function growsUntil(plan: PlannedCrop): CalendarDate | null {
  const { crop } = plan
  const lastStageOn =
    crop?.stageDays && !crop.perennial ? addDays(plan.sownOn, seasonLengthDays(crop.stageDays) - 1) : null
  const endedOn = plan.endedOn ?? plan.makesWayOn
  if (endedOn === null) return lastStageOn
  return lastStageOn !== null && lastStageOn < endedOn ? lastStageOn : endedOn
}

/** True once a crop that nobody has ended is past its last stage, or its ground was sown anew. */
export function isOverdue(plan: PlannedCrop, today: CalendarDate): boolean {
  const untilOn = growsUntil(plan)
  return plan.endedOn === null && untilOn !== null && untilOn < today
}

/** True from the first day of the last stage on, until somebody writes how it ended; what stands for years never ripens away. */
export function isRipe(plan: PlannedCrop, today: CalendarDate): boolean {
  const { crop, sownOn, endedOn } = plan
  if (isOverdue(plan, today)) return true
  if (endedOn !== null || !crop?.stageDays || crop.perennial) return false
  return addDays(sownOn, seasonLengthDays(crop.stageDays) - crop.stageDays[3]) <= today
}

/**
 * Ground of the plot that a crop and those beside it take together, m2, where it is more than the plot has; null where it
 * fits. Two crops in the same rows are possible, so this is asked about and not refused.
 */
export function crowding(plot: Plot, plan: PlannedCrop, plans: readonly PlannedCrop[]): number | null {
  const beside = plans.filter((other) => other.plotId === plan.plotId && together(plan, other))
  const takenM2 = sum(beside, (other) => other.areaM2)
  return plot.isAreaKnown && takenM2 > plot.areaM2 ? takenM2 : null
}

function together(one: PlannedCrop, other: PlannedCrop): boolean {
  const [oneEnd, otherEnd] = [growsUntil(one), growsUntil(other)]
  return (otherEnd === null || otherEnd >= one.sownOn) && (oneEnd === null || oneEnd >= other.sownOn)
}

/** True while a crop is in the ground on a day by the book. */
export function standsOn(plan: PlannedCrop, date: CalendarDate): boolean {
  const untilOn = growsUntil(plan)
  return plan.sownOn <= date && (untilOn === null || untilOn >= date)
}

/** The ground of a plot, m2; of one that nobody taped that of its largest crop, which it has at least. */
export function plotGroundM2({ id, areaM2, isAreaKnown }: Plot, plans: readonly PlannedCrop[]): number {
  const own = plans.filter((plan) => plan.plotId === id)
  return isAreaKnown ? areaM2 : Math.max(areaM2, ...own.map((plan) => plan.areaM2))
}

/** Ground that a crop has to itself on a day, m2: crops that together take more than the plot has each get their part of it. */
export function groundM2(
  { plot, plan, plans }: { plot: Plot; plan: PlannedCrop; plans: readonly PlannedCrop[] },
  date: CalendarDate,
): number {
  const beside = plans.filter((other) => other.plotId === plot.id && other.id !== plan.id && standsOn(other, date))
  const takenM2 = plan.areaM2 + sum(beside, (other) => other.areaM2)
  const groundM2 = plotGroundM2(plot, [plan, ...beside])
  return takenM2 > groundM2 ? (plan.areaM2 * groundM2) / takenM2 : plan.areaM2
}
