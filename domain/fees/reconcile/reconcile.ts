import type { M3 } from '../../units.ts'
import { cashDifferences } from './cash.ts'
import { chargeDifferences } from './charges.ts'
import type { CannotSay, Difference } from './difference.ts'
import type { ReconcileInput } from './types.ts'

interface Reconciliation {
  differences: Difference[]
  /** What could not be checked, and so is not said to agree. */
  cannotSay: CannotSay[]
  /** Nothing differs and everything could be checked. */
  closes: boolean
  deliveredM3: M3
  deliveredUncertaintyM3: M3
  chargedM3: M3
  freeM3: M3
}

/** Water beside money for one period, in the order of the book: volumes, charges, arrears, receipts, cash book, count. */
export function reconcile(input: ReconcileInput): Reconciliation {
  const charges = chargeDifferences(input)
  const cash = cashDifferences(input)
  const differences = [...charges.differences, ...cash.differences]
  const cannotSay = [...charges.cannotSay, ...cash.cannotSay]
  return { differences, cannotSay, closes: differences.length + cannotSay.length === 0, ...charges.volumes }
}
