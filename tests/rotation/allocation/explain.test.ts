import { describe, expect, it } from 'vitest'
import { explainAllocation } from '../../../domain/rotation/allocation/explain.ts'
import type { Allocation, AllocationInput, Bottleneck, Place } from '../../../domain/rotation/allocation/types.ts'

const claim = (id: string, outletIds: string[], needM3: number, more: object = {}) => ({
  ...{ id, outletIds, needM3, entitledM3: 20, receivedM3: 5, tier: 2 },
  ...more,
})
/** Two weirs; the first has two pumps, one of them with two outlets and a tank that feeds a third. No two figures are alike. */
const INPUT: AllocationInput = {
  weirs: [
    { id: 'w', releasableM3: 41 },
    { id: 'v', releasableM3: 42 },
  ],
  pumps: [
    { id: 'p', weirId: 'w', weekM3: 31 },
    { id: 'q', weirId: 'w', weekM3: 32 },
    { id: 'r', weirId: 'v', weekM3: 33 },
  ],
  tanks: [
    { id: 's', pumpId: 'r', weekM3: 21 },
    { id: 't', pumpId: 'p', weekM3: 22 },
  ],
  outlets: [
    { id: 'a', pumpId: 'p', weekM3: 11 },
    { id: 'b', pumpId: 'p', weekM3: 12 },
    { id: 'fed', pumpId: 'p', tankId: 't', weekM3: 13 },
    { id: 'c', pumpId: 'q', weekM3: 14 },
    { id: 'd', pumpId: 'r', weekM3: 15 },
  ],
  claims: [
    claim('1', ['a'], 7, { requestedM3: 6 }),
    claim('2', ['a', 'c'], 8, { requestedM3: 99, entitledM3: 0, minimumM3: 3 }),
    claim('3', ['fed'], 9.5),
    claim('4', ['d', 'b'], 10.25),
  ],
}
const GIVEN: Record<string, Record<string, number>> = {
  1: { a: 4 },
  2: { a: 2, c: 1 },
  3: { fed: 0.5 },
  4: { d: 10.25 },
}
const allocation = (heldBy: Bottleneck): Allocation => ({
  leftM3ByWeir: {},
  claims: Object.entries(GIVEN).map(([id, byOutletM3]) => ({
    ...{ id, byOutletM3, level: 0.45, heldBy, alsoHeldBy: [] },
    allocatedM3: Object.values(byOutletM3).reduce((sum, m3) => sum + m3, 0),
  })),
})
const explained = (claimId: string, heldBy: Bottleneck = { kind: 'need' }) =>
  explainAllocation({ input: INPUT, allocation: allocation(heldBy), claimId })

describe('why a claim gets what it gets', () => {
  it('is its need, its request, its entitlement and what came of it', () => {
    expect(explained('1')).toEqual({
      ...{ id: '1', tier: 2, requestedM3: 6, needM3: 7, countedM3: 6, minimumM3: 0, entitledM3: 20, receivedM3: 5 },
      ...{ levelBefore: 0.25, level: 0.45, heldBy: { kind: 'need' }, alsoHeldBy: [], limit: null },
      ...{ allocatedM3: 4, byOutletM3: { a: 4 }, shortM3: 2 },
    })
    const { levelBefore, countedM3, minimumM3, requestedM3, shortM3 } = explained('2')
    expect([levelBefore, countedM3, minimumM3, requestedM3, shortM3]).toEqual([null, 8, 3, 99, 5])
    expect([explained('4').requestedM3, explained('4').shortM3]).toEqual([null, 0])
  })

  it('is the limit that held it, with all that hangs on that limit', () => {
    const limit = (kind: Place['kind'], id: string) => {
      const { mostM3, countedM3, claimCount, drawnM3 } = explained('1', { kind, id }).limit!
      return [mostM3, countedM3, claimCount, drawnM3]
    }
    expect(limit('outlet', 'a')).toEqual([11, 6 + 8, 2, 6])
    expect(limit('outlet', 'b')).toEqual([12, 10.25, 1, 0])
    expect(limit('tank', 't')).toEqual([22, 9.5, 1, 0.5])
    expect(limit('tank', 's')).toEqual([21, 0, 0, 0])
    expect(limit('pump', 'p')).toEqual([31, 6 + 8 + 9.5 + 10.25, 4, 6.5])
    expect(limit('pump', 'q')).toEqual([32, 8, 1, 1])
    expect(limit('weir', 'w')).toEqual([41, 6 + 8 + 9.5 + 10.25, 4, 7.5])
    expect(limit('weir', 'v')).toEqual([42, 10.25, 1, 10.25])
  })

  it('cannot be told of a claim that is not there, or was given nothing', () => {
    expect(() => explained('9')).toThrow(RangeError)
    const without = { leftM3ByWeir: {}, claims: allocation({ kind: 'need' }).claims.slice(1) }
    expect(() => explainAllocation({ input: INPUT, allocation: without, claimId: '1' })).toThrow(RangeError)
    const stranger = { ...INPUT, claims: INPUT.claims.slice(1) }
    const given = allocation({ kind: 'need' })
    expect(() => explainAllocation({ input: stranger, allocation: given, claimId: '1' })).toThrow(RangeError)
  })
})
