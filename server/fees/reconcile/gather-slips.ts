import type { Difference } from '../../../domain/fees/reconcile/difference.ts'
import { minor } from '../../../domain/money/money.ts'
import { sum } from '../../../domain/sum.ts'

/** Many deliveries that wait for the same thing are one matter, not a page of them; the first few stay as doors. */
export function gatherSlips(differences: readonly Difference[]): Difference[] {
  const waiting = differences.filter(({ code }) => code === 'delivery-without-charge')
  if (waiting.length < 2) return [...differences]
  const gathered: Difference = {
    ...waiting[0]!,
    amountMinor: minor(sum(waiting, (one) => one.amountMinor ?? 0)),
    volumeM3: sum(waiting, (one) => one.volumeM3 ?? 0),
    values: { deliveries: waiting.length },
  }
  const rest = differences.filter(({ code }) => code !== 'delivery-without-charge')
  const at = differences.indexOf(waiting[0]!)
  return [...rest.slice(0, at), gathered, ...rest.slice(at)]
}
