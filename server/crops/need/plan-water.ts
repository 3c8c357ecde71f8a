import { addDays, type CalendarDate, datesFromTo } from '../../../domain/calendar.ts'
import {
  applicationEfficiency,
  type CropPlan,
  irrigationMethodByKey,
  type MethodState,
  netIrrigationMm,
  stageOn,
} from '../../../domain/crops/index.ts'
import { sum } from '../../../domain/sum.ts'
import type { Range } from '../../../domain/units.ts'
import type { Plot } from '../../people/plot/store.ts'
import type { PlannedCrop } from '../plan/store.ts'
import type { GivenWater } from './given-store.ts'
import type { LocalCoefficient } from './local-coefficient.ts'

/** True while the crop is in the ground on a day of the week and has not come to the end of its last stage. */
export function standsInWeek(plan: PlannedCrop, weekStartOn: CalendarDate): boolean {
  if (!plan.crop?.stageDays) return false
  const { crop: rooted, ...season } = domainPlan(plan)
  const dates = datesFromTo(weekStartOn, addDays(weekStartOn, 6))
  return dates.some((date) => stageOn({ ...season, stageDays: rooted.stageDays }, date) !== null)
}

/** The plan as the domain takes it. A crop that stands for years begins its stages again. */
export function domainPlan(plan: PlannedCrop, local?: LocalCoefficient): CropPlan {
  const { crop } = plan
  const stageDays = crop?.stageDays
  if (!stageDays) throw new RangeError(`crop '${plan.cropKey}' cannot be planned`)
  const { areaM2, sownOn: plantedOn, endedOn: harvestedOn } = plan
  const base = { crop: { ...crop, stageDays }, areaM2, plantedOn, harvestedOn, repeats: crop.perennial }
  return local?.kcIniByWetting == null ? base : { ...base, kcIniByWetting: local.kcIniByWetting }
}

/** Part of the water that stays with the roots, by the plot's method in its present state. */
export function efficiencyOf(plot: Pick<Plot, 'method'>, state: MethodState = 'sound'): Range {
  return applicationEfficiency({ method: irrigationMethodByKey(plot.method)!, state })
}

/** Depth that reached the roots on a day; water given to a plot is taken as spread evenly over the crops that stood on it. */
export function irrigationMm(
  {
    given,
    neighbours,
    efficiency,
  }: { given: readonly GivenWater[]; neighbours: readonly PlannedCrop[]; efficiency: number },
  date: CalendarDate,
): number {
  const deliveredM3 = given.reduce((sum, one) => (one.onDate === date ? sum + one.volumeM3 : sum), 0)
  if (deliveredM3 === 0) return 0
  const standing = neighbours.filter((plan) => plan.sownOn <= date && (plan.endedOn === null || plan.endedOn >= date))
  const areaM2 = sum(standing, (plan) => plan.areaM2)
  return areaM2 > 0 ? netIrrigationMm({ deliveredM3, areaM2, efficiency }) : 0
}
