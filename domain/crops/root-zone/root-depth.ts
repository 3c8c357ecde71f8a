import type { StageOnDay } from '../crop/stages.ts'

/** Effective roots of a seedling, m. Source: FAO-56 (1998), scheduling example on beans, Annex 8. */
export const SEEDLING_ROOT_DEPTH_M = 0.2

/**
 * Effective root depth on a day of the season, m: a seedling's until the end of the initial stage, growing evenly
 * through development with the leaves, then full. Perennials start full. Source: FAO-56, Annex 8, equation 8-1 (from memory).
 */
export function rootDepthOn(input: { place: StageOnDay; fullM: number; grown?: boolean }): number {
  const { place, fullM } = input
  if (input.grown) return fullM
  const seedlingM = Math.min(fullM, SEEDLING_ROOT_DEPTH_M)
  if (place.stage === 'initial') return seedlingM
  if (place.stage === 'development') return seedlingM + place.passed * (fullM - seedlingM)
  return fullM
}
