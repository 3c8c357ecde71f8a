import { InputError } from '../../input-error.ts'

/** Part of its full use that a crop draws at a depletion, 0 to 1; depths in mm. Source: FAO-56 (1998), equation 84. */
export function stressCoefficient(input: { depletionMm: number; totalMm: number; readilyMm: number }): number {
  const { depletionMm, totalMm, readilyMm } = input
  if (depletionMm <= readilyMm) return 1
  return Math.max(0, (totalMm - depletionMm) / (totalMm - readilyMm))
}

/**
 * Part of the available water that a crop draws without stress, from the table's value at 5 mm a day: less on days of
 * high demand. Kept between 0.1 and 0.8. Source: FAO-56, p. 162 and the footnote of Table 22.
 */
export function depletionFractionAt({ tableFraction, etcMm }: { tableFraction: number; etcMm: number }): number {
  return Math.min(0.8, Math.max(0.1, tableFraction + 0.04 * (5 - etcMm)))
}

/** Water that roots can draw in all, and without stress, mm. Source: FAO-56, equations 82 and 83. */
export function availableWater(input: { availableMmPerM: number; rootDepthM: number; depletionFraction: number }): {
  totalMm: number
  readilyMm: number
} {
  const { availableMmPerM, rootDepthM, depletionFraction } = input
  checkAvailableWater(availableMmPerM)
  if (!(rootDepthM > 0)) throw new InputError('root-depth-not-above-zero', { rootDepthM })
  const totalMm = availableMmPerM * rootDepthM
  return { totalMm, readilyMm: depletionFraction * totalMm }
}

/** Water that a metre of soil holds for roots, mm, from its two limits. Source: FAO-56, equation 82. */
export function availableMmPerM(soil: { fieldCapacity: number; wiltingPoint: number }): number {
  if (!(soil.fieldCapacity > soil.wiltingPoint)) throw new InputError('wilting-point-not-below-capacity', { ...soil })
  return 1000 * (soil.fieldCapacity - soil.wiltingPoint)
}

/** Throws InputError `soil-holds-nothing`. */
export function checkAvailableWater(availableMmPerM: number): void {
  if (!(availableMmPerM > 0)) throw new InputError('soil-holds-nothing', { availableMmPerM })
}
