import { depletionFractionAt, stressCoefficient } from './available-water.ts'

/** Days of one plot, one value a day in each array, all of one length. */
interface RootZoneInput {
  etoMm: Float64Array
  kc: Float64Array
  /** Water that the roots of that day can draw in all; it never shrinks from one day to the next. */
  totalMm: Float64Array
  /** Rain that reaches the root zone, by the group's rule. */
  creditedRainMm: Float64Array
  /** Irrigation that reached the root zone. */
  irrigationMm: Float64Array
  /** Depletion fraction of the crop at 5 mm a day. */
  tableFraction: number
  startDepletionMm: number
}

interface RootZoneOutput {
  depletionMm: Float64Array
  readilyMm: Float64Array
  stress: Float64Array
  evapotranspirationMm: Float64Array
  percolationMm: Float64Array
}

/** Arrays of so many days for `balanceRootZone` to write into. */
export function rootZoneOutput(days: number): RootZoneOutput {
  return {
    depletionMm: new Float64Array(days),
    readilyMm: new Float64Array(days),
    stress: new Float64Array(days),
    evapotranspirationMm: new Float64Array(days),
    percolationMm: new Float64Array(days),
  }
}

/**
 * Daily depletion of the root zone, mm, written into `out` so that many plots share one set of arrays.
 * Order within a day: stress from the depletion at its start; then water in and evapotranspiration out; what is left above
 * field capacity drains last, as the drainage equation has it. Evapotranspiration never takes more than the roots can reach.
 * Each day closes: start + evapotranspiration + percolation = end + credited rain + irrigation.
 * Source: FAO-56, equations 84, 85 and 88, without run-off and capillary rise; p adjusted daily (p. 162).
 */
export function balanceRootZone(input: RootZoneInput, out: RootZoneOutput): void {
  const { etoMm, kc, totalMm, creditedRainMm, irrigationMm, tableFraction } = input
  let depletion = input.startDepletionMm
  for (let day = 0; day < etoMm.length; day++) {
    const total = totalMm[day]!
    const potential = kc[day]! * etoMm[day]!
    const readily = depletionFractionAt({ tableFraction, etcMm: potential }) * total
    const stress = stressCoefficient({ depletionMm: depletion, totalMm: total, readilyMm: readily })
    const afterWater = depletion - creditedRainMm[day]! - irrigationMm[day]!
    const taken = Math.min(stress * potential, Math.max(0, total - afterWater))
    const beforeDrainage = afterWater + taken
    const percolation = Math.max(0, -beforeDrainage)
    depletion = beforeDrainage + percolation
    out.depletionMm[day] = depletion
    out.readilyMm[day] = readily
    out.stress[day] = stress
    out.evapotranspirationMm[day] = taken
    out.percolationMm[day] = percolation
  }
}
