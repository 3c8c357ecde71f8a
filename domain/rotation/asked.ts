import type { M3 } from '../units.ts'

/** Hours that a volume takes at one outlet by its tested flow, m3 an hour, where the pump gives as much. Source: time = volume / flow. */
export function hoursAt({ volumeM3, flowM3PerH }: { volumeM3: number; flowM3PerH: number }): number {
  return volumeM3 / flowM3PerH
}

/**
 * A crop seldom takes more in a week: 9 mm a day of the hottest dry places (FAO 56, Table 2) by the largest crop coefficient, 1.25
 * (Table 12), over the part of 0.6 that a furrow brings to the roots; both tables from memory.
 */
const MOST_OF_A_WEEK_MM = 150

/** The depth of a volume on a whole plot in mm, where it is more than a crop takes in a week; else null, as on a plot without an area. */
export function depthBeyondMm(volumeM3: M3, areaM2: number): number | null {
  const depthMm = areaM2 > 0 ? (volumeM3 / areaM2) * 1000 : 0
  return depthMm > MOST_OF_A_WEEK_MM ? depthMm : null
}
