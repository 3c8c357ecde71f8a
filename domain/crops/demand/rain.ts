import { InputError } from '../../input-error.ts'

/** How a group credits the rain of a day. */
export interface RainRule {
  /** A day's rain of half this counts nothing, one and a half times this counts its full part. */
  thresholdMm: number
  /** Part of a larger storm that counts; the rest runs off. */
  fraction: number
}

/** Light showers under 5 mm hardly count, three quarters of a larger storm do: common practice (70-80 %), no source. */
export const USUAL_RAIN_RULE: RainRule = { thresholdMm: 5, fraction: 0.75 }

/**
 * The part of a day's rain, mm, that reaches the root zone: nothing up to half the threshold, the rule's part from one and a
 * half times the threshold on, and evenly more in between, so that a tenth of a millimetre never decides. What the roots
 * cannot hold of it drains in the balance. Common practice without the steps of the usual rule, no source.
 * Throws InputError `rain-below-zero` or `rain-rule-outside`.
 */
export function creditedRainMm({
  rainMm,
  rule = USUAL_RAIN_RULE,
}: {
  rainMm: number
  rule?: RainRule | undefined
}): number {
  const { thresholdMm, fraction } = rule
  if (!(rainMm >= 0)) throw new InputError('rain-below-zero', { rainMm })
  if (!(thresholdMm >= 0 && fraction >= 0 && fraction <= 1)) {
    throw new InputError('rain-rule-outside', { thresholdMm, fraction })
  }
  const fromMm = thresholdMm / 2
  const fullMm = 1.5 * thresholdMm
  if (rainMm >= fullMm) return fraction * rainMm
  return rainMm <= fromMm ? 0 : (fraction * fullMm * (rainMm - fromMm)) / (fullMm - fromMm)
}
