import { rollup } from 'd3-array'
import type { Id } from '../../id.ts'
import { type Minor, sumMinor } from '../../money/money.ts'
import type { ChargeLine } from './types.ts'

interface FollowUp {
  abstractionId: Id<'abstraction'>
  /** Above zero still to be charged, below zero to be given back. */
  differenceMinor: Minor
}

/**
 * The lines that follow a correction of water: for each abstraction, what is due now less all that was posted for it so
 * far. A slip that was posted stays as it is. Both sides go by the id under which the abstraction was first written.
 */
export function followUpCharges({
  due,
  posted,
}: {
  due: readonly Pick<ChargeLine, 'abstractionId' | 'amountMinor'>[]
  posted: readonly { abstractionId: Id<'abstraction'>; amountMinor: number }[]
}): FollowUp[] {
  const slips = due.filter((line) => line.abstractionId !== null)
  const signed = [
    ...slips.map((line) => ({ abstractionId: line.abstractionId!, amountMinor: line.amountMinor as number })),
    ...posted.map(({ abstractionId, amountMinor }) => ({ abstractionId, amountMinor: -amountMinor })),
  ]
  const differences = rollup(
    signed,
    (lines) => sumMinor(lines.map((line) => line.amountMinor)),
    (line) => line.abstractionId,
  )
  return [...differences]
    .filter(([, differenceMinor]) => differenceMinor !== 0)
    .map(([abstractionId, differenceMinor]) => ({ abstractionId, differenceMinor }))
}
