import { seededRandom } from '../../../domain/random.ts'
import type { AllocationInput } from '../../../domain/rotation/allocation/types.ts'

export interface NetworkSize {
  claims: number
  weirs: number
  pumps: number
  outlets: number
}

/**
 * A random network with the awkward cases kept frequent: dry weirs, needs of zero, entitlements of zero, equal claims
 * that tie, outlets that many share, plots with several outlets, several tiers, minimums that cannot all be met.
 */
export function randomNetwork(seed: number, size?: NetworkSize): AllocationInput {
  const random = seededRandom(seed)
  const below = (count: number) => Math.floor(random() * count)
  const { claims, weirs, pumps, outlets } = size ?? {
    claims: 1 + below(60),
    weirs: 1 + below(6),
    pumps: 1 + below(8),
    outlets: 1 + below(24),
  }
  const litres = (most: number) => below(most * 1000 + 1) / 1000
  const chance = (of: number) => random() < of
  const ties = chance(0.3)
  const tiers = 1 + below(3)
  const withMinimums = chance(0.5)
  const plenty = 2 + random() * 10
  return {
    weirs: indices(weirs).map((id) => ({
      id: `w${id}`,
      releasableM3: chance(0.1) ? 0 : litres((plenty * claims) / weirs),
      coverDays: below(4) * 10,
    })),
    pumps: indices(pumps).map((id) => ({
      id: `p${id}`,
      weirId: `w${id < weirs ? id : below(weirs)}`,
      weekM3: chance(0.05) ? 0 : litres((1.5 * plenty * claims) / pumps),
    })),
    outlets: indices(outlets).map((id) => ({
      id: `o${id}`,
      pumpId: `p${id < pumps ? id : below(pumps)}`,
      weekM3: ties ? 20 : litres((3 * plenty * claims) / outlets),
    })),
    claims: indices(claims).map((id) => ({
      id: `c${id}`,
      outletIds: indices(chance(0.6) ? 1 : 1 + below(3)).map(() => `o${below(outlets)}`),
      needM3: chance(0.1) ? 0 : ties ? 4 + 4 * below(3) : litres(20),
      entitledM3: chance(0.1) ? 0 : ties ? 50 * (1 + below(2)) : litres(200) + 1,
      receivedM3: ties ? 10 * below(3) : litres(100),
      tier: below(tiers),
      minimumM3: withMinimums && chance(0.4) ? litres(5) : 0,
    })),
  }
}

function indices(count: number): number[] {
  return Array.from({ length: count }, (_, index) => index)
}
