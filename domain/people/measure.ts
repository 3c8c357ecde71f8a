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
