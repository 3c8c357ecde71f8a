import { sum } from '../../sum.ts'
/**
 * Volumes from areas, as surveyors reckon them. Source: Punmia, Surveying, chapter on volumes; US Army FM 5-430, earthwork.
 * The reckoning is unit-free: metres and square metres give cubic metres.
 */

/** Average end area: any spacing; slightly high where a body tapers to an edge or a point. */
export function averageEndAreaM3({ chainagesM, areasM2 }: { chainagesM: number[]; areasM2: number[] }): number {
  let volumeM3 = 0
  for (let i = 1; i < areasM2.length; i++)
    volumeM3 += ((chainagesM[i]! - chainagesM[i - 1]!) * (areasM2[i]! + areasM2[i - 1]!)) / 2
  return volumeM3
}

/** Prismoidal (Simpson's) rule: equal spacing, an odd number of areas; null for an even number. */
export function prismoidalM3({ spacingM, areasM2 }: { spacingM: number; areasM2: number[] }): number | null {
  if (areasM2.length < 3 || areasM2.length % 2 === 0) return null
  const weighted = areasM2.map((area, i) => area * (i === 0 || i === areasM2.length - 1 ? 1 : i % 2 === 1 ? 4 : 2))
  return (spacingM / 3) * sum(weighted)
}

/** Cone rule between level areas one step apart. */
export function coneM3({ stepM, areasM2 }: { stepM: number; areasM2: number[] }): number {
  let volumeM3 = 0
  for (let i = 1; i < areasM2.length; i++) {
    const [lower, upper] = [areasM2[i - 1]!, areasM2[i]!]
    volumeM3 += (stepM / 3) * (lower + upper + Math.sqrt(lower * upper))
  }
  return volumeM3
}
