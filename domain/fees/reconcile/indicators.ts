import { type Minor, minor } from '../../money/money.ts'
import type { M3 } from '../../units.ts'

export interface MoneyIndicators {
  /** Collected over billed; above 1 usually means that old arrears were paid. Null when nothing was billed. */
  collectionRatio: number | null
  /** Collected over the costs of running and mending. Null without costs. */
  costRecoveryRatio: number | null
  arrearsMinor: Minor
  /** Running cost of each cubic metre delivered. Null when none was. */
  costPerM3Minor: number | null
}

/** Source: fee collection and cost recovery after Malano and Burton (2001) and Bos, Burton and Molden (2005) (formulas: memory). */
export function moneyIndicators({
  billedMinor,
  collectedMinor,
  costsMinor,
  deliveredM3 = 0,
}: {
  billedMinor: number
  collectedMinor: number
  costsMinor: number
  deliveredM3?: M3
}): MoneyIndicators {
  return {
    collectionRatio: billedMinor > 0 ? collectedMinor / billedMinor : null,
    costRecoveryRatio: costsMinor > 0 ? collectedMinor / costsMinor : null,
    arrearsMinor: minor(billedMinor - collectedMinor),
    costPerM3Minor: deliveredM3 > 0 ? costsMinor / deliveredM3 : null,
  }
}
