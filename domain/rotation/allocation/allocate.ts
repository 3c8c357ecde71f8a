import { LITRES_PER_M3 } from '../../units.ts'
import { type Shared, shareLexicographically } from './lexicographic.ts'
import { type AllocationNetwork, type CountedClaim, networkOf, UNITS_PER_LITRE } from './network.ts'
import { splitOverOutlets } from './outlet-split.ts'
import type { Allocation, AllocationInput, Bottleneck, ClaimAllocation, Id } from './types.ts'
import type { Filling } from './water-filling.ts'

/**
 * Shares the coming week's water. First the minimums, tier by tier, by the lexicographic maximum of
 * allocated / minimum; then, tier by tier up to the need, by that of the level (received + allocated) / entitled.
 * With an entitlement of zero the need stands in its place. Exact to 1 mm3 per claim and step, then rounded down to
 * whole litres; a sum of parts rounded down still fits every limit.
 * Source: Megiddo 1974, Mathematical Programming 7:97-107 (optimal flows in networks with several sources and sinks);
 * method in `shareLexicographically`.
 *
 * The result is the same in whatever order the input comes, and claims come back in the order given.
 */
export function allocate(input: AllocationInput): Allocation {
  const network = networkOf(input)
  const shares = shareByTiers(network)
  const litres = shares.map(({ amount }) => Math.floor(amount / UNITS_PER_LITRE))
  const split = splitOverOutlets(network, litres)
  const claims = new Map<Id, ClaimAllocation>()
  network.claims.forEach((counted, index) => {
    const held = bottlenecks(network, counted, shares[index]!)
    claims.set(counted.claim.id, {
      id: counted.claim.id,
      allocatedM3: litres[index]! / LITRES_PER_M3,
      byOutletM3: split.byOutletM3[index]!,
      level: levelOf(counted, shares[index]!),
      heldBy: held[0]!,
      alsoHeldBy: held.slice(1),
    })
  })
  return {
    claims: input.claims.map(({ id }) => claims.get(id)!),
    leftM3ByWeir: leftByWeir(input, split.drawnLitresByWeir),
  }
}

/** What `allocate` gives each claim, m3 by its id, for whoever asks nothing of outlets, levels and limits. */
export function amountsM3(input: AllocationInput): Map<Id, number> {
  const network = networkOf(input)
  const shares = shareByTiers(network)
  return new Map(
    network.claims.map(({ claim }, at) => [claim.id, Math.floor(shares[at]!.amount / UNITS_PER_LITRE) / LITRES_PER_M3]),
  )
}

/** Minimums first, then needs; what a claim has been given before is its floor in every later step. */
function shareByTiers(network: AllocationNetwork): Shared[] {
  const tiers = [...new Set(network.claims.map(({ claim }) => claim.tier))].sort((a, b) => a - b)
  const shares = network.claims.map((): Shared => ({ amount: 0, risenTo: null, heldBy: [] }))
  for (const tier of tiers) {
    if (network.claims.every(({ claim, minimum }) => claim.tier !== tier || minimum === 0)) continue
    raiseTier(network, shares, tier, ({ minimum, ceiling }) => ({
      ceiling: Math.min(minimum, ceiling),
      weight: minimum,
      received: 0,
    }))
  }
  for (const tier of tiers) raiseTier(network, shares, tier, (counted) => counted)
  return shares
}

function raiseTier(
  network: AllocationNetwork,
  shares: Shared[],
  tier: number,
  aimOf: (counted: CountedClaim) => Pick<Filling, 'ceiling' | 'weight' | 'received'>,
): void {
  const fillings = network.claims.map((counted, index): Filling => {
    const floor = shares[index]!.amount
    if (counted.claim.tier !== tier) return { floor, ceiling: floor, weight: 1, received: 0, group: counted.group }
    const { ceiling, weight, received } = aimOf(counted)
    return { floor, ceiling, weight, received, group: counted.group }
  })
  const raised = shareLexicographically({ ...network, fillings })
  fillings.forEach((filling, index) => {
    if (network.claims[index]!.claim.tier === tier) shares[index] = raised.get(filling)!
  })
}

function levelOf({ weight, received }: CountedClaim, { amount, risenTo }: Shared): number | null {
  if (risenTo) return risenTo.numerator / risenTo.denominator
  return weight > 0 ? (received + amount) / weight : null
}

function bottlenecks({ names }: AllocationNetwork, { claim, ceiling }: CountedClaim, share: Shared): Bottleneck[] {
  if (share.amount < ceiling) return share.heldBy.map((limit) => names[limit]!)
  const askedLess = claim.requestedM3 !== undefined && claim.requestedM3 < claim.needM3
  return [{ kind: askedLess ? 'request' : 'need' }]
}

function leftByWeir({ weirs }: AllocationInput, drawnLitres: Record<Id, number>): Record<Id, number> {
  const left = weirs.map(({ id, releasableM3 }): [Id, number] => {
    const leftLitres = releasableM3 * LITRES_PER_M3 - (drawnLitres[id] ?? 0)
    return [id, Math.max(0, Math.round(leftLitres * 1000) / 1000 / LITRES_PER_M3)]
  })
  return Object.fromEntries(left)
}
