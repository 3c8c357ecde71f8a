import type { CalendarDate } from '../../calendar.ts'
import type { Id } from '../../id.ts'
import type { PlotClass } from '../../people/plot-class.ts'
import type { ClassPlace, ProtectedPlot, WeekDrought } from './types.ts'

/** Drinking and stock are served before everything, protected plots right after them. */
export const DRINKING_TIER = 0
export const PROTECTED_TIER = 1

/** Why a crop is in its class: set by the group, sown late, standing for years, or none of these. */
interface CropClass {
  class: PlotClass
  why: 'set' | 'sown-late' | 'perennial' | 'usual'
}

/** A crop's class: what the group has written for it, or what follows from its sowing and its kind. */
export function cropClass(crop: {
  setClass: PlotClass | null
  sownOn: CalendarDate
  declaredOn: CalendarDate | null
  perennial: boolean
}): CropClass {
  if (crop.setClass) return { class: crop.setClass, why: 'set' }
  if (crop.declaredOn && crop.sownOn > crop.declaredOn) return { class: 'late', why: 'sown-late' }
  return crop.perennial ? { class: 'perennials', why: 'perennial' } : { class: 'food', why: 'usual' }
}

/** The tier of a class in the allocation, a place counted from 0 for drinking; a class that the rule does not name comes last. */
export function tierOf(classes: readonly ClassPlace[], plotClass: PlotClass): number {
  const last = classes.reduce((most, { place }) => Math.max(most, place), 0) + 1
  return PROTECTED_TIER + (classes.find((one) => one.class === plotClass)?.place ?? last)
}

/** True where a plot is on the protected list and the declared stage leaves it there. */
export function isProtected(plots: readonly ProtectedPlot[], plotId: Id<'plot'>, drought: WeekDrought | null): boolean {
  return plots.some(
    (one) => one.plotId === plotId && (one.upToStage === null || (drought?.stage ?? 0) <= one.upToStage),
  )
}

/** What the declared stage leaves of a class's need, 0..1. */
export function capOf(drought: WeekDrought | null, plotClass: PlotClass): number {
  return Math.min(1, Math.max(0, drought?.capByClass[plotClass] ?? 1))
}
