import { InputError } from '../../input-error.ts'

/** How a group credits the rain of a day. */
export interface RainRule {
  /** A day's rain below this counts nothing. */
  thresholdMm: number
  /** Part of a larger storm that counts. */
  fraction: number
}

/** Showers under 5 mm count nothing, three quarters of a larger storm do: common practice (70-80 %), no source. */
export const USUAL_RAIN_RULE: RainRule = { thresholdMm: 5, fraction: 0.75 }

/** Rain credited to a plot, mm: no storm, and not all of them together, for more than the root zone can hold. */
export function creditedRainMm(input: {
  dailyRainMm: readonly number[]
  rule?: RainRule
  rootZoneHoldsMm: number
}): number {
  const { rule = USUAL_RAIN_RULE, rootZoneHoldsMm } = input
  checkRule(rule)
  let creditedMm = 0
  for (const rainMm of input.dailyRainMm) {
    if (!(rainMm >= 0)) throw new InputError('rain-below-zero', { rainMm })
    if (rainMm >= rule.thresholdMm) creditedMm += rule.fraction * rainMm
  }
  return Math.min(creditedMm, rootZoneHoldsMm)
}

/**
 * Effective rain of a month on slopes up to about 5 %, mm. Source: Brouwer and Heibloem (1986), FAO Irrigation Water
 * Management Training Manual 3, chapter 3 (from memory).
 */
export function monthlyEffectiveRainMm(rainMm: number): number {
  return Math.max(0, rainMm <= 75 ? 0.6 * rainMm - 10 : 0.8 * rainMm - 25)
}

/** Effective rain of a month, mm; short form of the USDA Soil Conservation Service as widely quoted (from memory). */
export function shortScsEffectiveRainMm(rainMm: number): number {
  return rainMm <= 250 ? (rainMm * (125 - 0.2 * rainMm)) / 125 : 125 + 0.1 * rainMm
}

/**
 * Effective rain of a month from its rain, the crop's use and the usable storage of the root zone, mm; never more than the
 * rain or the use. Source: USDA SCS Technical Release 21 (1970), reproduced as Table 34 of FAO-24 (from memory).
 */
export function scsEffectiveRainMm(input: { rainMm: number; etcMm: number; storageMm: number }): number {
  const { rainMm, etcMm, storageMm } = input
  const inches = 0.70917 * (rainMm / MM_PER_INCH) ** 0.82416 - 0.11556
  const effectiveMm = scsStorageFactor(storageMm) * inches * 10 ** (0.02426 * (etcMm / MM_PER_INCH)) * MM_PER_INCH
  return Math.max(0, Math.min(effectiveMm, rainMm, etcMm))
}

/** Factor for the usable storage of the root zone. Source: as `scsEffectiveRainMm`. */
export function scsStorageFactor(storageMm: number): number {
  const depth = storageMm / MM_PER_INCH
  return 0.531747 + 0.295164 * depth - 0.057697 * depth ** 2 + 0.003804 * depth ** 3
}

function checkRule({ thresholdMm, fraction }: RainRule): void {
  if (thresholdMm >= 0 && fraction >= 0 && fraction <= 1) return
  throw new InputError('rain-rule-outside', { thresholdMm, fraction })
}

const MM_PER_INCH = 25.4
