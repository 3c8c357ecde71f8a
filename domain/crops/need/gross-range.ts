import { InputError } from '../../input-error.ts'
import { depthToVolumeM3, JERRYCANS_PER_M3, type Range } from '../../units.ts'
import { NEED_ERRORS } from '../demand/errors.ts'

/**
 * Water to bring to the plot, m3, for a depth that the roots lack, mm. Errors are combined as the root of squares: that of the
 * depth, and the doubt about the method's efficiency on each side; never narrower than a quarter.
 * Likely value: net depth / efficiency x area (1 mm on 1 m2 is 1 litre). Throws InputError `efficiency-outside`.
 */
export function grossRangeM3(input: { netMm: Range; efficiency: Range; areaM2: number }): Range {
  const { netMm, efficiency, areaM2 } = input
  checkEfficiency(efficiency)
  const likelyMm = netMm.likely / efficiency.likely
  const narrowestMm = NEED_ERRORS.narrowest * likelyMm
  const below = Math.hypot((netMm.likely - netMm.low) / efficiency.likely, likelyMm - netMm.likely / efficiency.high)
  const above = Math.hypot((netMm.high - netMm.likely) / efficiency.likely, netMm.likely / efficiency.low - likelyMm)
  const volume = (depthMm: number) => depthToVolumeM3({ depthMm: Math.max(0, depthMm), areaM2 })
  return {
    low: volume(likelyMm - Math.max(narrowestMm, below)),
    likely: volume(likelyMm),
    high: volume(likelyMm + Math.max(narrowestMm, above)),
  }
}

/** The same in cans of 20 litres, whole ones: the low end rounded down, the high end up. */
export function jerrycans(volumeM3: Range): Range {
  return {
    low: Math.floor(volumeM3.low * JERRYCANS_PER_M3),
    likely: Math.round(volumeM3.likely * JERRYCANS_PER_M3),
    high: Math.ceil(volumeM3.high * JERRYCANS_PER_M3),
  }
}

function checkEfficiency({ low, likely, high }: Range): void {
  if (low > 0 && low <= likely && likely <= high && high <= 1) return
  throw new InputError('efficiency-outside', { low, likely, high })
}
