import { InputError } from '../../input-error.ts'
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

/**
 * The local factor from days on which both methods are known: the ratio of the sums, so that days of high
 * demand weigh most. Null without any demand to compare. Source: FAO-56, equation 53 with no constant term.
 */
export function localHargreavesFactor(days: readonly { hargreavesMm: number; betterMm: number }[]): number | null {
  let hargreavesMm = 0
  let betterMm = 0
  for (const day of days) {
    if (!(day.hargreavesMm >= 0 && day.betterMm >= 0)) throw new InputError('evapotranspiration-below-zero', { ...day })
    hargreavesMm += day.hargreavesMm
    betterMm += day.betterMm
  }
  return hargreavesMm > 0 ? betterMm / hargreavesMm : null
}
