import type { CrossSection } from './body.ts'

/** Figures of a weir that a group may not know when it writes its sand in. */
export const UNMEASURED_SAND = ['crest-level', 'bed-slope', 'off-take', 'mark'] as const
export type UnmeasuredSand = (typeof UNMEASURED_SAND)[number]

/**
 * Between these a slope that nobody measured may lie, m a m: streams that carry sand-filled weirs fall from half a metre to ten
 * metres in a hundred (own choice, from memory of small-dam handbooks, which speak of two to four and call more than five steep).
 */
const STEEPEST_BED = 0.1
export const FLATTEST_BED = 0.005
/** The mark of an observation pipe stands at most so far above the top of the wall, m (own choice, no source). */
export const HIGHEST_MARK_M = 1
/** And at most so far below it (own choice, no source). */
const LOWEST_MARK_M = -0.5
/** With one wall the group's own fixed point may be anywhere, m. */
const USUAL_CREST_M = 100

/**
 * What is reckoned with for figures that nobody measured, in m and m a m, each at the end of its span that gives the least water:
 * the steepest bed (the shortest sand), the mouth of the off-take half-way up, the lowest mark (the deepest water). The crest's own
 * level moves all others with it and gives or takes nothing.
 */
export function leastMeasures({ crestHeightM }: { crestHeightM: number }) {
  return {
    crestLevelM: USUAL_CREST_M,
    bedSlope: STEEPEST_BED,
    offTakeAboveBedM: crestHeightM / 2,
    // In shallow sand the lowest mark would lie under the bed.
    markAboveCrestM: Math.max(LOWEST_MARK_M, -crestHeightM / 2),
  }
}

/**
 * The level that is reckoned with, m, where nobody measured the top of the wall beside probed sand (own choice): the lowest sand of
 * the section nearest to the wall. The wall is at least as high as the sand that leans on it, and no water above counts.
 */
export function leastCrestLevelM(nearest: CrossSection): number {
  return Math.min(...nearest.points.map(({ sandLevelM }) => sandLevelM))
}
