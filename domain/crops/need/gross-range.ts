import { InputError } from '../../input-error.ts'
import { depthToVolumeM3, JERRYCANS_PER_M3, type Range } from '../../units.ts'

/** Likely errors of a need as parts: common practice, no source. */
export const NEED_ERRORS = {
  /** Of a crop coefficient taken from a table. */
  coefficient: 0.15,
  /** Of the rain that a rule of thumb credits. */
  creditedRain: 0.2,
  /** Of the crop's use, where rain fell or not and nobody measured it. */
  missingRain: 0.15,
  /** A week's need is never known better than this, whatever was measured. */
  narrowest: 0.25,
}

/**
 * Water to bring to the plot for a use of the crop less a credited rain, low, likely and high, m3. Errors are combined as the
 * root of squares: that of the net depth, and the doubt about the method's efficiency on each side.
 * Likely value: net depth / efficiency x area (1 mm on 1 m2 is 1 litre).
 */
export function grossRangeM3(input: {
  etcMm: number
  creditedRainMm: number
  /** Of the crop's use, all its errors together. */
  etcErrorFraction: number
  efficiency: Range
  areaM2: number
}): Range {
  const { etcMm, creditedRainMm, efficiency, areaM2 } = input
  checkEfficiency(efficiency)
  const surplusMm = etcMm - creditedRainMm
  const netMm = Math.max(0, surplusMm)
  const netErrorMm = Math.hypot(etcMm * input.etcErrorFraction, creditedRainMm * NEED_ERRORS.creditedRain)
  const likelyMm = netMm / efficiency.likely
  const errorMm = netErrorMm / efficiency.likely
  const narrowestMm = NEED_ERRORS.narrowest * likelyMm
  const belowMm = Math.max(narrowestMm, Math.hypot(errorMm, likelyMm - netMm / efficiency.high))
  const aboveMm = Math.max(narrowestMm, Math.hypot(errorMm, netMm / efficiency.low - likelyMm))
  // Where rain covers the likely use, only what its error leaves uncovered may still be wanted.
  const uncoveredMm = Math.min(0, surplusMm) / efficiency.likely
  const volume = (depthMm: number) => depthToVolumeM3({ depthMm: Math.max(0, depthMm), areaM2 })
  return { low: volume(likelyMm - belowMm), likely: volume(likelyMm), high: volume(likelyMm + aboveMm + uncoveredMm) }
}

/** The same in cans of 20 litres, whole ones: the low end rounded down, the high end up. */
export function jerrycans(volumeM3: Range): Range {
  return {
    low: Math.floor(volumeM3.low * JERRYCANS_PER_M3),
    likely: Math.round(volumeM3.likely * JERRYCANS_PER_M3),
    high: Math.ceil(volumeM3.high * JERRYCANS_PER_M3),
  }
}

/** Depth that reached the root zone from a volume brought to the plot, mm. */
export function netIrrigationMm(input: { deliveredM3: number; areaM2: number; efficiency: number }): number {
  return (input.deliveredM3 * 1000 * input.efficiency) / input.areaM2
}

function checkEfficiency({ low, likely, high }: Range): void {
  if (low > 0 && low <= likely && likely <= high && high <= 1) return
  throw new InputError('efficiency-outside', { low, likely, high })
}
