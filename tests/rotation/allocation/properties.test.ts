import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { seededRandom } from '../../../domain/random.ts'
import { allocate } from '../../../domain/rotation/allocation/allocate.ts'

import type { AllocationInput, Claim } from '../../../domain/rotation/allocation/types.ts'
import { runs } from '../../support/runs.ts'
import { exactM3 } from './exact.ts'
import { randomNetwork } from './networks.ts'

const networks = fc.integer({ min: 1, max: 1_000_000 }).map((seed) => randomNetwork(seed))
const picks = fc.double({ min: 0, max: 1, maxExcluded: true, noNaN: true })
const extraM3 = fc.integer({ min: 1, max: 60_000 }).map((litres) => litres / 1000)
const AMONG = runs(400)
const DUST_M3 = 1e-6 // amounts before litre rounding are exact to 1e-9 m3 for each claim and step

const pickIndex = (pick: number, count: number) => Math.floor(pick * count)

/** The lowest level among claims that want water, by the definition rather than by what `allocate` reports. */
function lowestLevel({ claims }: AllocationInput, amounts: Record<string, number>): number {
  const levels = claims
    .filter(({ needM3 }) => needM3 > 0)
    .map(({ id, needM3, entitledM3, receivedM3 }) => (receivedM3 + amounts[id]!) / (entitledM3 || needM3))
  return Math.min(...levels)
}

describe('the allocation', () => {
  it('does not change when someone asks for more than the need', () => {
    fc.assert(
      fc.property(networks, picks, extraM3, (input, pick, more) => {
        const index = pickIndex(pick, input.claims.length)
        const claims = input.claims.map((claim, at): Claim => {
          return at === index ? { ...claim, requestedM3: claim.needM3 + more } : claim
        })
        expect(allocate({ ...input, claims })).toEqual(allocate(input))
      }),
      AMONG,
    )
  })

  it('gives no one more than was asked for, and says that the request held it', () => {
    const input = randomNetwork(3)
    const claims = input.claims.map((claim): Claim => ({ ...claim, requestedM3: claim.needM3 / 4 }))
    for (const [index, given] of allocate({ ...input, claims }).claims.entries()) {
      expect(given.allocatedM3).toBeLessThanOrEqual(claims[index]!.requestedM3!)
      if (claims[index]!.needM3 > 0) expect(given.heldBy.kind).not.toBe('need')
    }
  })

  it('never lowers the lowest level when a weir releases more', () => {
    fc.assert(
      fc.property(networks, picks, extraM3, (input, pick, more) => {
        const index = pickIndex(pick, input.weirs.length)
        const weirs = input.weirs.map((weir, at) => {
          return at === index ? { ...weir, releasableM3: weir.releasableM3 + more } : weir
        })
        const before = lowestLevel(input, exactM3(input))
        const after = lowestLevel(input, exactM3({ ...input, weirs }))
        expect(after).toBeGreaterThanOrEqual(before - DUST_M3)
      }),
      AMONG,
    )
  })

  it('never lowers the lowest level when a pump gives more, within one tier and without minimums', () => {
    fc.assert(
      fc.property(networks, picks, extraM3, (input, pick, more) => {
        const claims = input.claims.map((claim) => ({ ...claim, tier: 1, minimumM3: 0 }))
        const index = pickIndex(pick, input.pumps.length)
        const pumps = input.pumps.map((pump, at) => (at === index ? { ...pump, weekM3: pump.weekM3 + more } : pump))
        const before = lowestLevel(input, exactM3({ ...input, claims }))
        const after = lowestLevel(input, exactM3({ ...input, claims, pumps }))
        expect(after).toBeGreaterThanOrEqual(before - DUST_M3)
      }),
      AMONG,
    )
  })

  it('never raises anyone when a claimant comes in and the others stay entitled to the same', () => {
    fc.assert(
      fc.property(networks, picks, (input, pick) => {
        fc.pre(input.claims.length > 1)
        const newcomer = pickIndex(pick, input.claims.length)
        const without = exactM3({ ...input, claims: input.claims.filter((_, at) => at !== newcomer) })
        const together = exactM3(input)
        for (const [id, amountM3] of Object.entries(without)) {
          expect(together[id]!, id).toBeLessThanOrEqual(amountM3 + DUST_M3)
        }
      }),
      AMONG,
    )
  })

  it('does not depend on the order in which anything is given', () => {
    fc.assert(
      fc.property(networks, fc.integer({ min: 1, max: 1_000_000 }), (input, seed) => {
        const random = seededRandom(seed)
        const shuffled = <T>(things: readonly T[]) =>
          things
            .map((thing) => ({ thing, at: random() }))
            .sort((a, b) => a.at - b.at)
            .map(({ thing }) => thing)
        const mixed = allocate({
          weirs: shuffled(input.weirs),
          pumps: shuffled(input.pumps),
          outlets: shuffled(input.outlets),
          claims: shuffled(input.claims.map((claim) => ({ ...claim, outletIds: shuffled(claim.outletIds) }))),
        })
        const straight = allocate(input)
        const byId = new Map(mixed.claims.map((claim) => [claim.id, claim]))
        expect(input.claims.map(({ id }) => byId.get(id))).toEqual(straight.claims)
        expect(mixed.leftM3ByWeir).toEqual(straight.leftM3ByWeir)
      }),
      AMONG,
    )
  })

  it('draws from the weir with the most days of cover first, then from the lowest id', () => {
    const claim = { needM3: 10, entitledM3: 10, receivedM3: 0, tier: 0 }
    const input = (coverDays: [number, number]): AllocationInput => ({
      weirs: [
        { id: '9', releasableM3: 8, coverDays: coverDays[0] },
        { id: '10', releasableM3: 8, coverDays: coverDays[1] },
      ],
      pumps: [
        { id: 'p9', weirId: '9', weekM3: 50 },
        { id: 'p10', weirId: '10', weekM3: 50 },
      ],
      outlets: [
        { id: 'on 9', pumpId: 'p9', weekM3: 50 },
        { id: 'on 10', pumpId: 'p10', weekM3: 50 },
      ],
      claims: [
        { ...claim, id: '1', outletIds: ['on 10', 'on 9'] },
        { ...claim, id: '2', needM3: 2, outletIds: ['on 9'] },
      ],
    })
    expect(allocate(input([20, 60])).claims.map(({ byOutletM3 }) => byOutletM3)).toEqual([
      { 'on 10': 8, 'on 9': 2 },
      { 'on 9': 2 },
    ])
    expect(allocate(input([60, 20])).claims.map(({ byOutletM3 }) => byOutletM3)).toEqual([
      { 'on 9': 6, 'on 10': 4 },
      { 'on 9': 2 },
    ])
    expect(allocate(input([30, 30])).claims[0]!.byOutletM3).toEqual({ 'on 9': 6, 'on 10': 4 })
  })

  it('serves domestic and livestock water first, and minimums before anything else', () => {
    const claim = { outletIds: ['o'], entitledM3: 10, receivedM3: 0 }
    const week = (releasableM3: number) =>
      allocate({
        weirs: [{ id: 'w', releasableM3 }],
        pumps: [{ id: 'p', weirId: 'w', weekM3: 100 }],
        outlets: [{ id: 'o', pumpId: 'p', weekM3: 100 }],
        claims: [
          { ...claim, id: 'stand', needM3: 6, tier: 0 },
          { ...claim, id: 'nursery', needM3: 10, tier: 1, minimumM3: 2 },
          { ...claim, id: 'market', needM3: 10, tier: 2, minimumM3: 2 },
        ],
      }).claims.map(({ allocatedM3 }) => allocatedM3)
    expect(week(3)).toEqual([0, 2, 1])
    expect(week(9)).toEqual([5, 2, 2])
    expect(week(15)).toEqual([6, 7, 2])
    expect(week(30)).toEqual([6, 10, 10])
  })

  it('takes the need as the weight where nothing is entitled', () => {
    const claim = { outletIds: ['o'], entitledM3: 0, receivedM3: 0, tier: 0 }
    const { claims } = allocate({
      weirs: [{ id: 'w', releasableM3: 6 }],
      pumps: [{ id: 'p', weirId: 'w', weekM3: 100 }],
      outlets: [{ id: 'o', pumpId: 'p', weekM3: 100 }],
      claims: [
        { ...claim, id: '1', needM3: 4 },
        { ...claim, id: '2', needM3: 8 },
        { ...claim, id: '3', needM3: 0 },
      ],
    })
    expect(claims.map(({ allocatedM3, level }) => [allocatedM3, level])).toEqual([
      [2, 0.5],
      [4, 0.5],
      [0, null],
    ])
  })

  it('refuses volumes below zero, unknown names and names used twice', () => {
    const input = randomNetwork(5)
    const withClaim = (changes: Partial<Claim>) => () => {
      allocate({ ...input, claims: [{ ...input.claims[0]!, ...changes }, ...input.claims.slice(1)] })
    }
    expect(withClaim({ needM3: -1 })).toThrow('volume-below-zero')
    expect(withClaim({ receivedM3: Number.NaN })).toThrow('volume-below-zero')
    expect(withClaim({ entitledM3: 1e8 })).toThrow('volume-too-large')
    expect(withClaim({ outletIds: ['nowhere'] })).toThrow(RangeError)
    expect(() => allocate({ ...input, weirs: [...input.weirs, input.weirs[0]!] })).toThrow(RangeError)
  })

  it('copes with an empty week', () => {
    expect(allocate({ weirs: [], pumps: [], outlets: [], claims: [] })).toEqual({ claims: [], leftM3ByWeir: {} })
    const unreachable = { id: '1', outletIds: [], needM3: 5, entitledM3: 5, receivedM3: 0, tier: 0 }
    const alone = allocate({ weirs: [{ id: 'w', releasableM3: 3 }], pumps: [], outlets: [], claims: [unreachable] })
    expect(alone.claims[0]!.allocatedM3).toBe(0)
    expect(alone.leftM3ByWeir).toEqual({ w: 3 })
  })
})
