import { meanSaturationVapourPressureKpa, psychrometricConstantKpaPerC, vapourPressureSlopeKpaPerC } from './air.ts'
import { MM_PER_MJ_M2 } from './radiation.ts'

/** Calm air still carries vapour away in gusts; FAO-56 (1998), p. 63, advises not to go below this. */
const LOWEST_WIND_M_PER_S = 0.5

/**
 * Reference evapotranspiration of short grass, mm a day, from the weather of a day or the mean of a month.
 * A negative result, which is dew, counts as zero. Source: FAO-56, equation 6 (temperature + 273 as printed there).
 */
export function penmanMonteithMm(input: {
  elevationM: number
  tmaxC: number
  tminC: number
  vapourPressureKpa: number
  windAt2MPerS: number
  netRadiationMjM2: number
  soilHeatMjM2?: number
}): number {
  const meanC = (input.tmaxC + input.tminC) / 2
  const slope = vapourPressureSlopeKpaPerC(meanC)
  const gamma = psychrometricConstantKpaPerC(input.elevationM)
  const wind = Math.max(LOWEST_WIND_M_PER_S, input.windAt2MPerS)
  const deficitKpa = Math.max(0, meanSaturationVapourPressureKpa(input) - input.vapourPressureKpa)
  const radiation = MM_PER_MJ_M2 * slope * (input.netRadiationMjM2 - (input.soilHeatMjM2 ?? 0))
  const air = gamma * (900 / (meanC + 273)) * wind * deficitKpa
  return Math.max(0, (radiation + air) / (slope + gamma * (1 + 0.34 * wind)))
}
