/**
 * Published figures of the true valley, copied from the tables and not from `domain/`.
 * Coefficients, stage lengths, depletion fractions, root depths: FAO-56 (1998), Tables 12, 11 and 22. Yield response of the
 * whole season: FAO-33 (1979) through FAO-56, Table 24. Yield response by stage: FAO-33, Table 24 there (memory); where it
 * knows no flowering of its own, the figure of yield formation stands for both.
 */
export interface TrueCrop {
  key: string
  stageDays: readonly [number, number, number, number]
  kc: readonly [number, number, number]
  rootM: number
  depletionFraction: number
  /** Vegetative, flowering, yield formation, ripening. */
  responseByPhase: readonly [number, number, number, number]
  seasonResponse: number
}

export const TRUE_CROPS: readonly TrueCrop[] = [
  crop('tomato', [30, 40, 40, 25], [0.6, 1.15, 0.8], 0.7, 0.4, [0.4, 1.1, 0.8, 0.4], 1.05),
  crop('potato', [25, 30, 30, 30], [0.5, 1.15, 0.75], 0.4, 0.35, [0.45, 0.8, 0.7, 0.2], 1.1),
  crop('onion_dry', [15, 25, 70, 40], [0.7, 1.05, 0.75], 0.3, 0.3, [0.45, 0.8, 0.8, 0.3], 1.1),
  crop('cabbage', [25, 35, 25, 10], [0.7, 1.05, 0.95], 0.5, 0.45, [0.2, 0.45, 0.45, 0.6], 0.95),
  crop('bean_green', [15, 25, 25, 10], [0.5, 1.05, 0.9], 0.5, 0.45, [0.2, 1.1, 0.75, 0.2], 1.15),
  crop('maize_sweet', [20, 30, 30, 10], [0.3, 1.15, 1.05], 0.8, 0.55, [0.4, 1.5, 0.5, 0.2], 1.25),
]

/** Water that roots can draw from a metre of soil, mm: middle of FAO-56, Table 19. */
export const TRUE_SOILS = [
  { key: 'loamy_sand', availableMmPerM: 90 },
  { key: 'sandy_loam', availableMmPerM: 130 },
  { key: 'loam', availableMmPerM: 155 },
] as const

/** Part of the water that stays with the roots: hose or can 70 % (practice), furrow 60 % (FAO Training Manual 4, memory). */
export const TRUE_METHODS = [
  { key: 'hose_or_can', efficiency: 0.7 },
  { key: 'surface', efficiency: 0.6 },
] as const

export const PHASES = 4

/** A seedling's roots: FAO-56, Annex 8. Below, they are taken to grow evenly from sowing to full cover. */
const SEEDLING_M = 0.2

/** Part of the mid-season that is flowering. Ours. */
const FLOWERING_PART = 0.4

export interface CropDay {
  kc: number
  rootM: number
  /** 0 to 3, in the order of `responseByPhase`. */
  phase: number
}

/** The crop on a day counted from 0 at sowing; null once it is harvested. */
export function cropOn({ stageDays, kc, rootM }: TrueCrop, day: number): CropDay | null {
  const [initial, development, middle, late] = stageDays
  const covered = initial + development
  if (day < 0 || day >= covered + middle + late) return null
  const grownM = SEEDLING_M + (Math.max(SEEDLING_M, rootM) - SEEDLING_M) * Math.min(1, day / covered)
  if (day < initial) return { kc: kc[0], rootM: grownM, phase: 0 }
  if (day < covered) return { kc: kc[0] + ((kc[1] - kc[0]) * (day - initial)) / development, rootM: grownM, phase: 0 }
  if (day < covered + middle)
    return { kc: kc[1], rootM: grownM, phase: day < covered + FLOWERING_PART * middle ? 1 : 2 }
  return { kc: kc[1] + ((kc[2] - kc[1]) * (day - covered - middle)) / late, rootM: grownM, phase: 3 }
}

/**
 * Relative yield: of the response of the whole season and that of each phase taken alone, the greatest loss counts.
 * FAO-33's single equation 1 - Ya/Ym = Ky (1 - ETa/ETm); letting the worst of them govern is ours.
 */
export function relativeYield(crop: TrueCrop, actualMm: Float64Array, fullMm: Float64Array, at: number): number {
  let [actual, full, least] = [0, 0, 1]
  for (let phase = 0; phase < PHASES; phase++) {
    const ofPhase = fullMm[at + phase]!
    actual += actualMm[at + phase]!
    full += ofPhase
    if (ofPhase > 0) least = Math.min(least, 1 - crop.responseByPhase[phase]! * (1 - actualMm[at + phase]! / ofPhase))
  }
  return Math.max(0, Math.min(least, 1 - crop.seasonResponse * (1 - actual / full)))
}

function crop(
  key: string,
  stageDays: TrueCrop['stageDays'],
  kc: TrueCrop['kc'],
  rootM: number,
  depletionFraction: number,
  responseByPhase: TrueCrop['responseByPhase'],
  seasonResponse: number,
): TrueCrop {
  return { key, stageDays, kc, rootM, depletionFraction, responseByPhase, seasonResponse }
}
