import { InputError } from '../input-error.ts'
import type { CoefficientCurve } from './crop/coefficient.ts'
import type { Season } from './crop/stages.ts'

/** What a balance of the root zone needs to know of a crop. */
export interface RootedCrop extends CoefficientCurve {
  rootDepthMinM: number
  depletionFraction: number
  perennial?: boolean
}

/** One crop on one piece of ground. */
export interface CropPlan extends Omit<Season, 'stageDays'> {
  crop: RootedCrop
  areaM2: number
  /** Initial coefficient from the wetting frequency, in place of the table's. */
  kcIniByWetting?: number
}

/** Why a figure cannot be said, as a code and its values for the pages to put into words. */
export interface Reason {
  code: string
  values: Record<string, string | number>
}

export interface CannotSay {
  known: false
  reasons: Reason[]
}

/** Throws InputError `area-not-above-zero` or `harvest-before-planting`. */
export function checkPlan(plan: CropPlan): void {
  if (!(plan.areaM2 > 0)) throw new InputError('area-not-above-zero', { areaM2: plan.areaM2 })
  if (plan.harvestedOn && plan.harvestedOn < plan.plantedOn) {
    throw new InputError('harvest-before-planting', { plantedOn: plan.plantedOn, harvestedOn: plan.harvestedOn })
  }
}
