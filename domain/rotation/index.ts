export { allocate } from './allocate.ts'
export type * from './allocation-types.ts'
export { type AllocationProblem, checkAllocation } from './check-allocation.ts'
export { checkTimetable, type TimetableProblem } from './check-timetable.ts'
export {
  allocateByRule,
  type ComparedClaim,
  compareRules,
  type RuleComparison,
  type RuleName,
  type RuleResult,
} from './compare-rules.ts'
export type { Basis, EntitlementMix, Plot, ShareRow } from './entitlement-parts.ts'
export {
  type Entitlement,
  type EntitlementRule,
  type EntitlementWeek,
  entitlements,
  type PlotWeek,
  type WeekReceived,
} from './entitlements.ts'
export { type AllocationReason, explainAllocation, type LimitReason } from './explain-allocation.ts'
export {
  type FairnessBand,
  type FairnessIndicators,
  fairnessIndicators,
  giniCoefficient,
  type Indicator,
  jainIndex,
  type SpreadIndicator,
} from './fairness-indicators.ts'
export { cappedByChambers } from './pump-chamber.ts'
export { type PumpDay, type PumpDayInput, type PumpMount, pumpDay, type Sky } from './pump-day.ts'
export { type TankCourse, tankCourse } from './tank-fills.ts'
export { timetable } from './timetable.ts'
export { addBurdens } from './timetable-burdens.ts'
export { type TimetableLimits, timetableLimits } from './timetable-limits.ts'
export type * from './timetable-types.ts'
export { hoursAtOutlet, type OutletFlow, volumeAtOutlet } from './timetable-units.ts'
