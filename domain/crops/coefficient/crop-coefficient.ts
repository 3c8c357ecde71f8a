import type { CalendarDate } from '../../calendar.ts'
import { type Climate, climateAdjustedCoefficient } from './climate-adjustment.ts'
import { checkStageDays, type Season, type Stage, type StageDays, stageOn } from './stages.ts'

/** What the stage curve needs to know of a crop. */
export interface CoefficientCurve {
  kcIni: number
  kcMid: number
  kcEnd: number
  heightMaxM: number
  stageDays: StageDays
}

export interface CropCoefficient {
  kc: number
  stage: Stage
  /** Days since sowing, counted from 1; of a crop that repeats, since its last cutting. */
  day: number
}

/**
 * Single crop coefficient on a date: flat, rising, flat, falling. Null before sowing and after harvest.
 * With the climate given, the mid-season and end values are adjusted to it; `kcIniByWetting` replaces the table's
 * initial value by one from the wetting frequency. Source: FAO-56 (1998), chapter 6, equations 62, 65 and 66.
 */
export function cropCoefficient(
  input: Omit<Season, 'stageDays'> & {
    crop: CoefficientCurve
    date: CalendarDate
    climate?: Climate
    kcIniByWetting?: number
  },
): CropCoefficient | null {
  const { crop, climate } = input
  checkStageDays(crop.stageDays)
  const place = stageOn({ ...input, stageDays: crop.stageDays }, input.date)
  if (!place) return null
  const kcIni = input.kcIniByWetting ?? crop.kcIni
  const kcMid = climateAdjustedCoefficient({ kc: crop.kcMid, heightM: crop.heightMaxM, climate })
  const kcEnd = endCoefficient(crop, climate)
  return { stage: place.stage, day: place.day, kc: onCurve(place.stage, place.passed, kcIni, kcMid, kcEnd) }
}

/** A crop left to dry keeps its table value: below 0.45 the wind no longer matters (FAO-56, equation 65). */
function endCoefficient(crop: CoefficientCurve, climate: Climate | undefined): number {
  if (crop.kcEnd < 0.45) return crop.kcEnd
  return climateAdjustedCoefficient({ kc: crop.kcEnd, heightM: crop.heightMaxM, climate })
}

function onCurve(stage: Stage, passed: number, kcIni: number, kcMid: number, kcEnd: number): number {
  if (stage === 'initial') return kcIni
  if (stage === 'development') return kcIni + passed * (kcMid - kcIni)
  if (stage === 'mid-season') return kcMid
  return kcMid + passed * (kcEnd - kcMid)
}
