import type { CoefficientCurve } from './coefficient.ts'

export const MULCHES = ['none', 'straw', 'film'] as const

/** What covers the ground between the plants, and which part of it. */
export interface Mulch {
  kind: (typeof MULCHES)[number]
  coverFraction: number
}

/** Straw, leaves or grass keep back half of what the ground that they cover would lose to the air, as a part. Source: FAO-56 (1998), chapter 10 (from memory). */
const KEPT_BY_STRAW = 0.5

/** Film cuts the whole coefficient by 10 to 30 per cent, more in some crops; the middle, as a part. Source: FAO-56, chapter 10 and Table 25 (from memory). */
const KEPT_BY_FILM = 0.2

/** The plants' own part of the initial coefficient, and the ground's part of the grown one. Source: FAO-56, Tables 12 and 17 (from memory). */
const PLANTS_AT_FIRST = 0.15
const GROUND_WHEN_GROWN = 0.05

/**
 * The crop's curve over mulched ground; never more than without. Straw keeps back a part of what the ground loses, film a part
 * of all, both by how much they cover. Source: FAO-56 (1998), chapter 10, surface mulches (from memory).
 */
export function mulchedCurve<C extends CoefficientCurve>(crop: C, mulch: Mulch | null): C {
  if (!mulch || mulch.kind === 'none') return crop
  const { kind, coverFraction } = mulch
  const { kcIni, kcMid, kcEnd } = crop
  if (kind === 'film') {
    const part = 1 - KEPT_BY_FILM * coverFraction
    return { ...crop, kcIni: part * kcIni, kcMid: part * kcMid, kcEnd: part * kcEnd }
  }
  const kept = KEPT_BY_STRAW * coverFraction
  return {
    ...crop,
    kcIni: kcIni - kept * Math.max(0, kcIni - PLANTS_AT_FIRST),
    kcMid: kcMid - kept * GROUND_WHEN_GROWN,
    kcEnd: kcEnd - kept * GROUND_WHEN_GROWN,
  }
}
