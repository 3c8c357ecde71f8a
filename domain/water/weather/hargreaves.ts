import { MM_PER_MJ_M2 } from './radiation.ts'

/**
 * Reference evapotranspiration from temperatures alone, mm a day. It misses wind and damp air, so a place
 * compares it with a better record and multiplies by a local factor. Source: FAO-56 (1998), equation 52.
 */
export function hargreavesSamaniMm(input: {
  tmaxC: number
  tminC: number
  extraterrestrialMjM2: number
  localFactor?: number
}): number {
  const meanC = (input.tmaxC + input.tminC) / 2
  const evaporating = MM_PER_MJ_M2 * input.extraterrestrialMjM2
  const estimate = 0.0023 * (meanC + 17.8) * Math.sqrt(input.tmaxC - input.tminC) * evaporating
  return Math.max(0, estimate * (input.localFactor ?? 1))
}
