import type { CoefficientCurve } from './coefficient.ts'

/** What young plants shade of their ground at noon, and how tall they stand. */
export interface GroundCover {
  coverFraction: number
  heightM: number
}

/** Coefficient of bare dry ground between plants. Source: FAO-56 (1998), p. 184 (from memory). */
const BARE_COEFFICIENT = 0.15

/** What a grown orchard shades, for which the printed values stand; most rows print none. Common practice, no source. */
const GROWN_COVER = 0.6

/**
 * The curve of plants that do not yet cover their ground: what each value has above bare ground, times the density coefficient
 * of the young plants over that of grown ones; never more than printed. Source: FAO-56 (1998), equation 98 (from memory), the
 * ratio to a grown orchard derived.
 */
export function coveredCurve<C extends CoefficientCurve>(crop: C, cover: GroundCover | null): C {
  if (!cover) return crop
  const grown = densityCoefficient({ coverFraction: GROWN_COVER, heightM: crop.heightMaxM })
  const part = Math.min(1, densityCoefficient(cover) / grown)
  const covered = (kc: number) => Math.min(kc, BARE_COEFFICIENT + part * Math.max(0, kc - BARE_COEFFICIENT))
  return { ...crop, kcIni: covered(crop.kcIni), kcMid: covered(crop.kcMid), kcEnd: covered(crop.kcEnd) }
}

/** Part of a closed stand's use that plants draw: twice their shade while small, less where they are tall and dense. */
function densityCoefficient({ coverFraction, heightM }: GroundCover): number {
  return Math.min(1, 2 * coverFraction, coverFraction ** (1 / (1 + heightM)))
}
