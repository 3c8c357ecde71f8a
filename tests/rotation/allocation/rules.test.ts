import { describe, expect, it } from 'vitest'
import { allocate } from '../../../domain/rotation/allocation/allocate.ts'
import { checkAllocation } from '../../../domain/rotation/allocation/check.ts'
import { explainAllocation } from '../../../domain/rotation/allocation/explain.ts'
import { compareRules } from '../../../domain/rotation/rule/compare.ts'
import { randomNetwork } from './networks.ts'

/** 18 m3 for requests of 26: one plot has had little so far, one is at its most sensitive stage. */
const input = {
  weirs: [{ id: 'w', releasableM3: 18 }],
  pumps: [{ id: 'p', weirId: 'w', weekM3: 40 }],
  outlets: [{ id: 'o', pumpId: 'p', weekM3: 40 }],
  claims: [
    { id: '1', needM3: 8, requestedM3: 10, entitledM3: 40, receivedM3: 30, stageRank: 2 },
    { id: '2', needM3: 4, entitledM3: 40, receivedM3: 20, stageRank: 1 },
    { id: '3', needM3: 14, entitledM3: 40, receivedM3: 26 },
  ].map((claim) => ({ ...claim, outletIds: ['o'], tier: 1 })),
}

describe('rules side by side', () => {
  const comparison = compareRules(input)
  const amounts = (rule: string) =>
    comparison.rules.find((each) => each.rule === rule)!.allocation.claims.map((c) => c.allocatedM3)

  it('gives every name under every rule, and the difference', () => {
    expect(amounts('evening-out')).toEqual([5, 4, 9]) // levels 35/40 and 35/40; plot 2 has its need at 24/40
    expect(amounts('proportional')).toEqual([5.538, 2.769, 9.692]) // 18/26 of 8, 4 and 14, in whole litres
    expect(amounts('equal-small-first')).toEqual([7, 4, 7])
    expect(amounts('crop-stage-first')).toEqual([8, 4, 6])
    expect(comparison.claims[2]!.differenceM3).toEqual({
      'evening-out': 0,
      proportional: 0.692,
      'equal-small-first': -2,
      'crop-stage-first': -3,
    })
  })

  it('never shares out more than there is, under any rule', () => {
    expect(comparison.rules.map(({ totalM3 }) => totalM3)).toEqual([18, 17.999, 18, 18])
    for (let seed = 1; seed <= 60; seed++) {
      const network = randomNetwork(seed)
      const compared = compareRules(network)
      for (const { totalM3 } of compared.rules) {
        expect(totalM3).toBeLessThanOrEqual(
          network.weirs.reduce((sum, { releasableM3 }) => sum + releasableM3, 0) + 1e-9,
        )
      }
      expect(compared.rules[0]!.allocation).toEqual(allocate(network))
    }
  })

  it('adds a carry-over only under the rules that look at one week alone', () => {
    const claims = input.claims.map((claim) => (claim.id === '2' ? { ...claim, carryOverM3: 3 } : claim))
    const carried = compareRules({ ...input, claims })
    const second = carried.claims[1]!.allocatedM3
    expect(second).toEqual({ 'evening-out': 4, proportional: 4.344, 'equal-small-first': 6, 'crop-stage-first': 7 })
  })
})

describe('the reason of an allocation', () => {
  it('tells need, entitlement, received, level and what held it, and the volume', () => {
    const allocation = allocate(input)
    expect(checkAllocation({ input, allocation })).toEqual([])
    expect(explainAllocation({ input, allocation, claimId: '1' })).toEqual({
      id: '1',
      tier: 1,
      requestedM3: 10,
      needM3: 8,
      countedM3: 8,
      minimumM3: 0,
      entitledM3: 40,
      receivedM3: 30,
      levelBefore: 0.75,
      level: 0.875,
      heldBy: { kind: 'weir', id: 'w' },
      alsoHeldBy: [],
      limit: { mostM3: 18, countedM3: 26, claimCount: 3, drawnM3: 18 },
      allocatedM3: 5,
      byOutletM3: { o: 5 },
      shortM3: 3,
    })
    expect(explainAllocation({ input, allocation, claimId: '2' })).toMatchObject({
      heldBy: { kind: 'need' },
      limit: null,
    })
    expect(() => explainAllocation({ input, allocation, claimId: '4' })).toThrow(RangeError)
  })
})
