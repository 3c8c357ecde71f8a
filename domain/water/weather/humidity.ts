import { InputError } from '../../input-error.ts'
import { atmosphericPressureKpa, saturationVapourPressureKpa } from './air.ts'

/** How the air comes to the wet bulb: whirled or drawn at about 5 m/s, hung in moving air of about 1 m/s, or in still air indoors. */
export const PSYCHROMETERS = ['whirled', 'hung', 'indoors'] as const
export type Psychrometer = (typeof PSYCHROMETERS)[number]

/** Coefficient of each, per degree. Source: FAO-56 (1998), equation 16 and the list below it (from memory). */
const PSYCHROMETER_COEFFICIENT: Record<Psychrometer, number> = { whirled: 0.000662, hung: 0.0008, indoors: 0.0012 }

interface Bulbs {
  dryBulbC: number
  wetBulbC: number
  psychrometer: Psychrometer
}

/**
 * Actual vapour pressure from a dry and a wet bulb read together, kPa. Throws InputError `wet-above-dry`, and
 * `bulbs-too-far-apart` where no air is as dry as that. Source: FAO-56 (1998), equations 15 and 16.
 */
export function vapourPressureOfBulbsKpa(input: Bulbs & { elevationM: number }): number {
  const { dryBulbC, wetBulbC, psychrometer, elevationM } = input
  if (wetBulbC > dryBulbC) throw new InputError('wet-above-dry', { wetBulbC, dryBulbC })
  const perDegreeKpa = PSYCHROMETER_COEFFICIENT[psychrometer] * atmosphericPressureKpa(elevationM)
  const vapourPressureKpa = saturationVapourPressureKpa(wetBulbC) - perDegreeKpa * (dryBulbC - wetBulbC)
  if (vapourPressureKpa <= 0) throw new InputError('bulbs-too-far-apart', { wetBulbC, dryBulbC })
  return vapourPressureKpa
}

interface HumidityRecord {
  tmaxC: number
  tminC: number
  /** Actual vapour pressure, where a station gives it directly. */
  vapourPressureKpa?: number
  dewPointC?: number
  rhMaxPct?: number
  rhMinPct?: number
  rhMeanPct?: number
}

/**
 * Actual vapour pressure from the best measurement of humidity there is, kPa; null when there is none.
 * The dew point comes first, then both relative humidities, then the highest alone, then the mean.
 * Source: FAO-56 (1998), equations 14, 17, 18 and 19.
 */
export function measuredVapourPressureKpa(day: HumidityRecord): number | null {
  if (day.vapourPressureKpa !== undefined) return day.vapourPressureKpa
  if (day.dewPointC !== undefined) return saturationVapourPressureKpa(day.dewPointC)
  const atTmax = saturationVapourPressureKpa(day.tmaxC)
  const atTmin = saturationVapourPressureKpa(day.tminC)
  if (day.rhMaxPct !== undefined && day.rhMinPct !== undefined) {
    return ((atTmin * day.rhMaxPct) / 100 + (atTmax * day.rhMinPct) / 100) / 2
  }
  if (day.rhMaxPct !== undefined) return (atTmin * day.rhMaxPct) / 100
  if (day.rhMeanPct !== undefined) return ((day.rhMeanPct / 100) * (atTmax + atTmin)) / 2
  return null
}

/**
 * Vapour pressure with no humidity data: the dew point is near the night's lowest temperature, kPa.
 * In a dry climate the air stays below saturation at dawn, so 2 to 3 degrees are taken off first.
 * Source: FAO-56, equation 48 and Annex 6.
 */
export function estimatedVapourPressureKpa({ tminC, aridityC = 0 }: { tminC: number; aridityC?: number }): number {
  return saturationVapourPressureKpa(tminC - aridityC)
}
