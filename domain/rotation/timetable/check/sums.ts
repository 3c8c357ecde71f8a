import type { Id } from '../../../id.ts'
import { sum } from '../../../sum.ts'
import type { TimetableAllocation, TimetableInput, TimetableResult } from '../types.ts'
import type { TimetableProblem } from './problem.ts'

/** Every allocation must be found again, to the litre, in its turns and its unplaced water. */
export function checkSums(input: TimetableInput, result: TimetableResult): TimetableProblem[] {
  return [
    ...checkLitres(result),
    ...checkUnplacedNames(input, result),
    ...input.allocations.flatMap((allocation) => checkSum(allocation, result)),
  ]
}

function checkLitres({ turns, unplacedM3 }: TimetableResult): TimetableProblem[] {
  return [...turns, ...unplacedM3].flatMap(({ claimId, volumeM3 }) => {
    const litres = volumeM3 * 1000
    const isWhole = litres > 0.5 && Math.abs(litres - Math.round(litres)) < 1e-6
    return isWhole ? [] : [{ code: 'not-whole-litres', values: { claimId, volumeM3 } }]
  })
}

function checkUnplacedNames({ allocations }: TimetableInput, { unplacedM3 }: TimetableResult): TimetableProblem[] {
  return unplacedM3.flatMap(({ claimId, outletId, reason }, index) => {
    const isSame = (other: { claimId: string; outletId: Id<'outlet'> }) =>
      other.claimId === claimId && other.outletId === outletId
    const problems: TimetableProblem[] = []
    if (!allocations.some(isSame)) problems.push({ code: 'unplaced-without-allocation', values: { claimId, outletId } })
    if (unplacedM3.findIndex(isSame) !== index) problems.push({ code: 'unplaced-twice', values: { claimId, outletId } })
    if (!reason) problems.push({ code: 'unplaced-without-reason', values: { claimId, outletId } })
    return problems
  })
}

function checkSum({ claimId, outletId, volumeM3 }: TimetableAllocation, result: TimetableResult): TimetableProblem[] {
  const parts = [...result.turns, ...result.unplacedM3].filter(
    (part) => part.claimId === claimId && part.outletId === outletId,
  )
  const foundLitres = sum(parts, (part) => Math.round(part.volumeM3 * 1000))
  return foundLitres === Math.round(volumeM3 * 1000)
    ? []
    : [{ code: 'volume-not-accounted', values: { claimId, outletId, volumeM3, foundM3: foundLitres / 1000 } }]
}
