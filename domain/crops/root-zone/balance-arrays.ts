/** Days of one plot, one value a day in each array, all of one length. */
export interface RootZoneInput {
  etoMm: Float64Array
  kc: Float64Array
  /** Water that the roots of that day can draw in all; it never shrinks from one day to the next. */
  totalMm: Float64Array
  rainMm: Float64Array
  /** Irrigation that reached the root zone. */
  irrigationMm: Float64Array
  /** Depletion fraction of the crop at 5 mm a day. */
  tableFraction: number
  startDepletionMm: number
}

export interface RootZoneOutput {
  depletionMm: Float64Array
  readilyMm: Float64Array
  stress: Float64Array
  evapotranspirationMm: Float64Array
  /** Rain without the light showers that only wet the leaves. */
  creditedRainMm: Float64Array
  percolationMm: Float64Array
}

/** Rain of a day below this part of the day's reference is lost again at once. Source: FAO-56 (1998), p. 170. */
const LIGHT_SHOWER = 0.2

export function rootZoneOutput(days: number): RootZoneOutput {
  return {
    depletionMm: new Float64Array(days),
    readilyMm: new Float64Array(days),
    stress: new Float64Array(days),
    evapotranspirationMm: new Float64Array(days),
    creditedRainMm: new Float64Array(days),
    percolationMm: new Float64Array(days),
  }
}

/**
 * Daily depletion of the root zone, written into `out` so that many plots share one set of arrays.
 * Order within a day: stress from the depletion at its start; then water in and evapotranspiration out; what is left above
 * field capacity drains last, as the drainage equation has it. Evapotranspiration never takes more than the roots can reach.
 * Each day closes: start + evapotranspiration + percolation = end + credited rain + irrigation.
 * Source: FAO-56, equations 84, 85 and 88, without run-off and capillary rise; p adjusted daily (p. 162).
 */
export function balanceRootZone(input: RootZoneInput, out: RootZoneOutput): void {
  const { etoMm, kc, totalMm, rainMm, irrigationMm, tableFraction } = input
  let depletion = input.startDepletionMm
  for (let day = 0; day < etoMm.length; day++) {
    const total = totalMm[day]!
    const potential = kc[day]! * etoMm[day]!
    const readily = Math.min(0.8, Math.max(0.1, tableFraction + 0.04 * (5 - potential))) * total
    const stress = depletion <= readily ? 1 : Math.max(0, (total - depletion) / (total - readily))
    const rain = rainMm[day]! < LIGHT_SHOWER * etoMm[day]! ? 0 : rainMm[day]!
    const afterWater = depletion - rain - irrigationMm[day]!
    const taken = Math.min(stress * potential, Math.max(0, total - afterWater))
    const beforeDrainage = afterWater + taken
    const percolation = Math.max(0, -beforeDrainage)
    depletion = beforeDrainage + percolation
    out.depletionMm[day] = depletion
    out.readilyMm[day] = readily
    out.stress[day] = stress
    out.evapotranspirationMm[day] = taken
    out.creditedRainMm[day] = rain
    out.percolationMm[day] = percolation
  }
}
