import { saturationVapourPressureKpa } from './air.ts'

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
