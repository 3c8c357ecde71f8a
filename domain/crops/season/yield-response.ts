/**
 * Relative yield when a crop gets less than its full use over the season, 0 to 1; for ranking only, since soil, stage and pests
 * decide the rest. Null where the table has no factor or the crop had no full use to compare with.
 * Source: FAO-56 (1998), equation 90, from FAO-33 (1979).
 */
export function yieldResponse(input: {
  yieldResponse: number | null
  actualMm: number
  fullMm: number
}): number | null {
  if (input.yieldResponse === null || !(input.fullMm > 0)) return null
  return Math.max(0, 1 - input.yieldResponse * (1 - Math.min(1, input.actualMm / input.fullMm)))
}
