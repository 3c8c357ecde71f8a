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

/** Throws InputError `soil-holds-nothing`. */
export function checkAvailableWater(availableMmPerM: number): void {
  if (!(availableMmPerM > 0)) throw new InputError('soil-holds-nothing', { availableMmPerM })
}
