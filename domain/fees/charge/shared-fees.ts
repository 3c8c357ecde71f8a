import { group } from 'd3-array'
import { apportion } from '../../money/apportion.ts'
import { decimal, ONE, plus, quotientHalfUp, times, ZERO } from '../../money/decimal.ts'
import { type Minor, minor } from '../../money/money.ts'
import type { ChargeLine } from './types.ts'

interface SharedFee {
  line: ChargeLine
  /** The price of one share or one hectare, whole minor units. */
  priceMinor: number
}

/** A fee by quantity beside what all who owe it on that day come to together. */
interface SplitFee {
  amountMinor: Minor
  togetherQuantity: number
  togetherMinor: Minor
}

/**
 * Fees by share or by hectare that fall due on the same day by the same part of one tariff: price times all shares
 * together, rounded half up once, is split by largest remainders, so that parts of shares sum to what the shares cost
 * whole. A flat fee is nobody's part of a sum and stays. The answers are in the order of the input.
 * Source of the split: `apportion`.
 */
export function splitFees({ fees }: { fees: readonly SharedFee[] }): SplitFee[] {
  const keyOf = ({ line, priceMinor }: SharedFee) => [line.on, line.tariffId, line.kind, priceMinor].join(' ')
  const split = new Map<SharedFee, SplitFee>()
  for (const alike of group(fees, keyOf).values()) {
    const parts = alike[0]!.line.kind === 'flat' ? alike.map(alone) : inParts(alike)
    for (const [at, fee] of alike.entries()) split.set(fee, parts[at]!)
  }
  return fees.map((fee) => split.get(fee)!)
}

function inParts(alike: readonly SharedFee[]): SplitFee[] {
  const weights = alike.map(({ line }) => line.quantity)
  const exact = weights.map(decimal).reduce(plus, ZERO)
  const togetherMinor = minor(Number(quotientHalfUp(times(decimal(alike[0]!.priceMinor), exact), ONE)))
  const togetherQuantity = Number(exact.digits) / 10 ** exact.scale
  return apportion({ totalMinor: togetherMinor, weights }).map((amountMinor) => ({
    amountMinor,
    togetherQuantity,
    togetherMinor,
  }))
}

function alone({ line }: SharedFee): SplitFee {
  return { amountMinor: line.amountMinor, togetherQuantity: line.quantity, togetherMinor: line.amountMinor }
}
