import type { CalendarDate } from '../../calendar.ts'
import { type Climate, climateAdjustedCoefficient } from './climate-adjustment.ts'
import { checkStageDays, type Season, type Stage, type StageDays, type StageOnDay, stageOn } from './stages.ts'

/** What the stage curve needs to know of a crop. */
export interface CoefficientCurve {
  kcIni: number
  kcMid: number
  kcEnd: number
  /** Between the end of the stages and the next year's; as at their end where left out. */
  kcRest?: number | undefined
  heightMaxM: number
  stageDays: StageDays
}

/** What bends a crop's printed curve to the place. */
export interface LocalConditions {
  /** Adjusts the mid-season and end values. */
  climate?: Climate
  /** Initial value from the wetting frequency, in place of the table's. */
  kcIniByWetting?: number
}

interface CropCoefficient {
  kc: number
  stage: Stage
  /** Days since sowing, counted from 1; of a crop that repeats, since its stages last began. */
  day: number
}

/**
 * Single crop coefficient on a date: flat, rising, flat, falling. Null before sowing and after harvest.
 * Source: FAO-56 (1998), chapter 6, equations 62, 65 and 66.
 */
export function cropCoefficient(
  input: Omit<Season, 'stageDays'> & LocalConditions & { crop: CoefficientCurve; date: CalendarDate },
): CropCoefficient | null {
  const { crop } = input
  checkStageDays(crop.stageDays)
  const place = stageOn({ ...input, stageDays: crop.stageDays }, input.date)
  if (!place) return null
  return { stage: place.stage, day: place.day, kc: coefficientAt(localCurve(crop, input), place) }
}

/**
 * The crop's three values in the place's conditions. A crop left to dry keeps its printed end value: below 0.45 the climate
 * no longer matters. Source: FAO-56, equations 62 and 65.
 */
export function localCurve(crop: CoefficientCurve, { climate, kcIniByWetting }: LocalConditions): CoefficientCurve {
  const adjusted = (kc: number) => climateAdjustedCoefficient({ kc, heightM: crop.heightMaxM, climate })
  return {
    ...crop,
    kcIni: kcIniByWetting ?? crop.kcIni,
    kcMid: adjusted(crop.kcMid),
    kcEnd: crop.kcEnd < 0.45 ? crop.kcEnd : adjusted(crop.kcEnd),
  }
}

/** Value of the curve at a place in the season. Source: FAO-56, equation 66. */
export function coefficientAt(curve: CoefficientCurve, { stage, passed }: StageOnDay): number {
  const { kcIni, kcMid, kcEnd, kcRest = kcEnd } = curve
  if (stage === 'initial') return kcIni
  if (stage === 'development') return kcIni + passed * (kcMid - kcIni)
  if (stage === 'mid-season') return kcMid
  if (stage === 'resting') return kcRest
  return kcMid + passed * (kcEnd - kcMid)
}
