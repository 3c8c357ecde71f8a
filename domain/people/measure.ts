import { LITRES_PER_M3, type Litres, type M3, toLitreM3 } from '../units.ts'

/** What a group counts in: its can, other vessels, or a piece of land. */
export const MEASURE_KINDS = ['can', 'drum', 'tank', 'area'] as const
export type MeasureKind = (typeof MEASURE_KINDS)[number]

/** A measure that the group has named, from a day on; of its cans the last one counts, of others the last of each name. */
export interface Measure {
  kind: MeasureKind
  name: string
  /** Litres that it holds; of land its m2. */
  size: number
}

/** What the group counts water in beside its can. */
export interface Vessel {
  name: string
  litresEach: Litres
}

/** How far off a count of filled vessels may be, as a fraction of the volume, in ordinary use. Common practice, no source. */
export const VESSEL_ERROR_FRACTION = 0.1

/** A volume as it was typed: so many of a measure, which is off by so much of itself either way. */
export interface TypedVolume {
  figure: number
  litresEach: Litres
  doubtPart: number
}

/**
 * A volume in m3 to the litre from a count of a measure, with its least and most; of hours at an outlet `litresEach` is what it gives in
 * one, as the watch beside the pipe counts them once water comes. Source: volume = count x size.
 */
export function typedVolumeM3({ figure, litresEach, doubtPart }: TypedVolume): { likelyM3: M3; lowM3: M3; highM3: M3 } {
  const exactM3 = (figure * litresEach) / LITRES_PER_M3
  return {
    likelyM3: toLitreM3(exactM3),
    lowM3: toLitreM3(exactM3 * (1 - doubtPart)),
    highM3: toLitreM3(exactM3 * (1 + doubtPart)),
  }
}

/** The length of a grown person's pace, m, from a short one to a long one. Common practice, no source. */
const PACE_M = { low: 0.65, likely: 0.75, high: 0.85 }

/**
 * An area in m2 from its length times its width in paces: a guess, with what it is by short and by long paces. One person paces both sides, so
 * that a short pace makes both too long. Source: area = paces x the pace squared; the pace is common practice, no source.
 */
export function pacedAreaM2(squarePaces: number): { likelyM2: number; lowM2: number; highM2: number } {
  return {
    likelyM2: squarePaces * PACE_M.likely ** 2,
    lowM2: squarePaces * PACE_M.low ** 2,
    highM2: squarePaces * PACE_M.high ** 2,
  }
}
