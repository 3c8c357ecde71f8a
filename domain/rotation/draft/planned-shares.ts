import { sum } from '../../sum.ts'
import { toLitreM3 } from '../../units.ts'
import type { Allocation } from '../allocation/types.ts'
import { isProtected, PROTECTED_TIER } from '../rule/classes.ts'
import type { UnplacedVolume } from '../timetable/types.ts'
import type { WeekClaim, WeekInputs } from '../week/inputs.ts'
import type { HeldBy, PlannedShare } from '../week/planned-week.ts'
import { partClaimId, plotClaims, type ServedPart, servedParts, weekEntitlements } from './claims.ts'

interface Given {
  allocation: Allocation
  hoursM3: Record<string, number>
  unplaced: readonly UnplacedVolume[]
}

/** What each plot gets this week in m3, with its need, its entitlement, what it received and what held it there. */
export function plannedShares(inputs: WeekInputs, given: Given): PlannedShare[] {
  const entitled = weekEntitlements(inputs)
  const claims = new Map(plotClaims(inputs, given.hoursM3).map((claim) => [claim.id, claim]))
  const allocated = new Map(given.allocation.claims.map((claim) => [claim.id, claim]))
  return inputs.claims.map((claim): PlannedShare => {
    const parts = servedParts(inputs, claim)
    const own = parts.map((_, at) => claims.get(partClaimId(claim.plotId, at))!)
    const gets = parts.map((_, at) => allocated.get(partClaimId(claim.plotId, at))!)
    const unplacedM3 = sum(given.unplaced.filter((one) => one.claimId === claim.plotId).map((one) => one.volumeM3))
    const allocatedM3 = Math.max(0, toLitreM3(sum(gets.map((one) => one.allocatedM3)) - unplacedM3))
    const entitledM3 = sum(own.map((one) => one.entitledM3))
    const receivedM3 = inputs.receivedM3[claim.plotId] ?? 0
    const heldByOther = gets.find(({ heldBy }) => heldBy.kind !== 'need' && heldBy.kind !== 'request')?.heldBy
    const isHeldByHours =
      unplacedM3 > 0 ||
      (claim.plotId in given.hoursM3 && !heldByOther && gets.some(({ heldBy }) => heldBy.kind === 'need'))
    return {
      plotId: claim.plotId,
      needM3: claim.needM3.likely,
      countedM3: sum(parts.map((one) => one.countedM3)),
      requestedM3: claim.requestedM3,
      weekEntitledM3: entitled.get(claim.plotId) ?? 0,
      entitledM3,
      receivedM3,
      carryOverM3: sum(own.map((one) => one.carryOverM3 ?? 0)),
      allocatedM3,
      level: entitledM3 > 0 ? (receivedM3 + allocatedM3) / entitledM3 : (gets[0]?.level ?? null),
      heldBy: isHeldByHours ? { kind: 'hours' } : (heldByOther ?? ownLimit(claim, parts)),
      isProtected: isProtected(inputs.rule.protectedPlots, claim.plotId, inputs.drought),
      byClass: parts.map((part, at) => ({
        class: part.class,
        needM3: part.needM3,
        countedM3: part.countedM3,
        minimumM3: part.tier === PROTECTED_TIER ? 0 : part.minimumM3,
        allocatedM3: gets[at]!.allocatedM3,
      })),
    }
  })
}

/** Nothing of the network held it: it has all that was asked for, all that the stage leaves, or all that it needs. */
function ownLimit({ requestedM3 }: WeekClaim, parts: readonly ServedPart[]): HeldBy {
  const countedM3 = sum(parts.map((one) => one.countedM3))
  if (requestedM3 !== null && requestedM3 < countedM3) return { kind: 'request' }
  return parts.some((one) => one.countedM3 < one.needM3) ? { kind: 'stage' } : { kind: 'need' }
}
