import { sum } from '../../sum.ts'
import type { M3 } from '../../units.ts'
import type { Allocation, AllocationInput, Bottleneck, Claim, Id, Place } from './types.ts'

/** The steps from need to volume, as data that a page puts into words. */
interface AllocationReason {
  id: Id
  tier: number
  /** Null where nothing was asked and the need stands for the request. */
  requestedM3: M3 | null
  needM3: M3
  /** What counted: the need, or the request where that is less. */
  countedM3: M3
  minimumM3: M3
  entitledM3: M3
  receivedM3: M3
  /** Received / entitled before this week; null without an entitlement. */
  levelBefore: number | null
  level: number | null
  heldBy: Bottleneck
  alsoHeldBy: Bottleneck[]
  /** The limit that held it; null where its own need or request did. */
  limit: LimitReason | null
  allocatedM3: M3
  byOutletM3: Record<Id, number>
  /** What is missing from what counted. */
  shortM3: M3
}

/** "18 of 26": what the limit could pass, and what the claims that depend on it add up to. */
interface LimitReason {
  mostM3: M3
  countedM3: M3
  claimCount: number
  drawnM3: M3
}

/** Why a claim gets what it gets. RangeError for a claim that is not in the allocation. */
export function explainAllocation({
  input,
  allocation,
  claimId,
}: {
  input: AllocationInput
  allocation: Allocation
  claimId: Id
}): AllocationReason {
  const claim = input.claims.find(({ id }) => id === claimId)
  const given = allocation.claims.find(({ id }) => id === claimId)
  if (!claim || !given) throw new RangeError(`no claim ${claimId} in this allocation`)
  const { entitledM3, receivedM3 } = claim
  return {
    id: claimId,
    tier: claim.tier,
    requestedM3: claim.requestedM3 ?? null,
    needM3: claim.needM3,
    countedM3: countedM3(claim),
    minimumM3: claim.minimumM3 ?? 0,
    entitledM3,
    receivedM3,
    levelBefore: entitledM3 > 0 ? receivedM3 / entitledM3 : null,
    level: given.level,
    heldBy: given.heldBy,
    alsoHeldBy: given.alsoHeldBy,
    limit: limitReason(input, allocation, given.heldBy),
    allocatedM3: given.allocatedM3,
    byOutletM3: given.byOutletM3,
    shortM3: Math.max(0, countedM3(claim) - given.allocatedM3),
  }
}

function limitReason(input: AllocationInput, allocation: Allocation, heldBy: Bottleneck): LimitReason | null {
  if (!('id' in heldBy)) return null
  const { mostM3, outletIds } = limitOf(input, heldBy)
  const dependent = input.claims.filter((claim) => claim.outletIds.some((id) => outletIds.has(id)))
  const drawn = allocation.claims
    .flatMap(({ byOutletM3 }) => Object.entries(byOutletM3))
    .filter(([id]) => outletIds.has(id))
  return {
    mostM3,
    countedM3: sum(dependent, (claim) => countedM3(claim)),
    claimCount: dependent.length,
    drawnM3: sum(drawn, ([, volumeM3]) => volumeM3),
  }
}

function limitOf(
  { weirs, pumps, tanks = [], outlets }: AllocationInput,
  { kind, id }: Place,
): { mostM3: M3; outletIds: Set<Id> } {
  const outletsBehind = (pumpIds: readonly Id[]) =>
    new Set(outlets.filter(({ pumpId }) => pumpIds.includes(pumpId)).map((outlet) => outlet.id))
  if (kind === 'outlet') return { mostM3: outlets.find((each) => each.id === id)!.weekM3, outletIds: new Set([id]) }
  if (kind === 'tank') {
    const fed = outlets.filter(({ tankId }) => tankId === id).map((outlet) => outlet.id)
    return { mostM3: tanks.find((each) => each.id === id)!.weekM3, outletIds: new Set(fed) }
  }
  if (kind === 'pump') return { mostM3: pumps.find((each) => each.id === id)!.weekM3, outletIds: outletsBehind([id]) }
  const pumpIds = pumps.filter(({ weirId }) => weirId === id).map((pump) => pump.id)
  return { mostM3: weirs.find((each) => each.id === id)!.releasableM3, outletIds: outletsBehind(pumpIds) }
}

function countedM3({ needM3, requestedM3 = needM3 }: Claim): number {
  return Math.min(needM3, requestedM3)
}
