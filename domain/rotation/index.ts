export { allocate } from './allocation/allocate.ts'
export { type AllocationProblem, checkAllocation } from './allocation/check.ts'
export { type AllocationReason, explainAllocation, type LimitReason } from './allocation/explain.ts'
export type * from './allocation/types.ts'
export {
  type FairnessBand,
  type FairnessIndicators,
  fairnessIndicators,
  giniCoefficient,
  type Indicator,
  jainIndex,
  type SpreadIndicator,
} from './fairness/indicators.ts'
export { cappedByChambers } from './pump-flow/chamber.ts'
export { type PumpDay, type PumpDayInput, type PumpMount, pumpDay, type Sky } from './pump-flow/day.ts'
export {
  allocateByRule,
  type ComparedClaim,
  compareRules,
  type RuleComparison,
  type RuleName,
  type RuleResult,
} from './rule/compare.ts'
export {
  type Entitlement,
  type EntitlementRule,
  type EntitlementWeek,
  entitlements,
  type PlotWeek,
  type WeekReceived,
} from './share/entitlements.ts'
export type { Basis, EntitlementMix, Plot, ShareRow } from './share/mix.ts'
export { addBurdens } from './timetable/burdens.ts'
export type { TimetableProblem } from './timetable/check/problem.ts'
export { checkTimetable } from './timetable/check/timetable.ts'
export { type TimetableLimits, timetableLimits } from './timetable/limits.ts'
export { type TankCourse, tankCourse } from './timetable/tank/fills.ts'
export { timetable } from './timetable/timetable.ts'
export type * from './timetable/types.ts'
export { hoursAtOutlet, type OutletFlow, volumeAtOutlet } from './timetable/units.ts'
