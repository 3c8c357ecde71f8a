export type SoilCoarseness = 'coarse' | 'fine-or-medium'

/** Wet bare soil evaporates at this many times the reference. Source: FAO-56 (1998), Annex 7. */
const WET_SOIL_COEFFICIENT = 1.15

const LIGHT_MM = 10
const HEAVY_MM = 40

/**
 * Crop coefficient of the initial stage from how often and how deeply the soil is wetted: between the curve for light
 * wettings (10 mm and less) and that for heavy ones (40 mm and more). Only a part of the surface wetted: the same water
 * stands deeper there, and the rest stays dry. Null without demand or wetting.
 * Source: FAO-56, equations 59 to 61 and Annex 7 (equations 7-1 to 7-5, the limits from memory).
 */
export function initialCoefficient(input: {
  intervalDays: number
  etoMm: number
  depthMm: number
  soil: SoilCoarseness
  wettedFraction?: number
}): number | null {
  const { intervalDays, etoMm, soil, wettedFraction = 1 } = input
  if (!(intervalDays > 0 && etoMm > 0 && input.depthMm > 0 && wettedFraction > 0 && wettedFraction <= 1)) return null
  const light = lightWettingCoefficient({ intervalDays, etoMm })
  const heavy = heavyWettingCoefficient({ intervalDays, etoMm, soil })
  return wettedFraction * interpolatedCoefficient({ depthMm: input.depthMm / wettedFraction, light, heavy })
}

/** Between the curves by the depth of one wetting. Source: FAO-56, equation 59. */
function interpolatedCoefficient(input: { depthMm: number; light: number; heavy: number }): number {
  const share = Math.min(1, Math.max(0, (input.depthMm - LIGHT_MM) / (HEAVY_MM - LIGHT_MM)))
  return input.light + share * (input.heavy - input.light)
}

/** The curve of Figure 29. Source: FAO-56, Annex 7. */
function lightWettingCoefficient({ intervalDays, etoMm }: { intervalDays: number; etoMm: number }): number {
  const readily = Math.min(7, Math.max(2.5, 6 / Math.sqrt(etoMm)))
  return dryingCoefficient(intervalDays, etoMm, 10, readily)
}

/** The curves of Figure 30, coarse (a) and fine or medium soil (b). Source: FAO-56, Annex 7. */
function heavyWettingCoefficient(input: { intervalDays: number; etoMm: number; soil: SoilCoarseness }): number {
  const { intervalDays, etoMm, soil } = input
  const coarse = soil === 'coarse'
  const evaporable = coarse ? Math.min(15, 7 * Math.sqrt(etoMm)) : Math.min(28, 13 * Math.sqrt(etoMm))
  return dryingCoefficient(intervalDays, etoMm, evaporable, Math.min(coarse ? 6 : 9, evaporable - 0.01))
}

/** Mean over the interval of a surface that dries in two stages. Source: FAO-56, equations 7-2 to 7-4. */
function dryingCoefficient(intervalDays: number, etoMm: number, evaporableMm: number, readilyMm: number): number {
  const wetRateMm = WET_SOIL_COEFFICIENT * etoMm
  const wetDays = readilyMm / wetRateMm
  if (intervalDays <= wetDays) return WET_SOIL_COEFFICIENT
  const restMm = evaporableMm - readilyMm
  const decay = ((intervalDays - wetDays) * wetRateMm * (1 + readilyMm / restMm)) / evaporableMm
  return (evaporableMm - restMm * Math.exp(-decay)) / (intervalDays * etoMm)
}
