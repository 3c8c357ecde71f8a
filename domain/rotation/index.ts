export { allocate } from './allocation/allocate.ts'
export { checkAllocation } from './allocation/check.ts'
export { explainAllocation } from './allocation/explain.ts'
export type * from './allocation/types.ts'
export {
  type FairnessIndicators,
  fairnessIndicators,
  giniCoefficient,
  jainIndex,
} from './fairness/indicators.ts'
export { cappedByChambers } from './pump-flow/chamber.ts'
export { type PumpDayInput, type PumpMount, pumpDay, type Sky } from './pump-flow/day.ts'
export {
  allocateByRule,
  type ComparedClaim,
  compareRules,
  type RuleName,
} from './rule/compare.ts'
export {
  type EntitlementWeek,
  entitlements,
} from './share/entitlements.ts'
export type { EntitlementMix, Plot, ShareRow } from './share/mix.ts'
export { addBurdens } from './timetable/burdens.ts'
export type { TimetableProblem } from './timetable/check/problem.ts'
export { checkTimetable } from './timetable/check/timetable.ts'
export { type TimetableLimits, timetableLimits } from './timetable/limits.ts'
export { tankCourse } from './timetable/tank/fills.ts'
export { timetable } from './timetable/timetable.ts'
export type * from './timetable/types.ts'
export { hoursAtOutlet, volumeAtOutlet } from './timetable/units.ts'
