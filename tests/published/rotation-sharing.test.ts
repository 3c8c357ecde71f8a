import { describe, expect, it } from 'vitest'
import { allocate } from '../../domain/rotation/allocation/allocate.ts'
import type { Claim } from '../../domain/rotation/allocation/types.ts'
import { inputByRule, type RuleName } from '../../domain/rotation/rule/compare.ts'

const LITRE_M3 = 0.001 // the published answers are real numbers; ours are whole litres, rounded down

/** One weir, one pump, one outlet: the network of a single purse. */
function onePurse({ estate, claims }: { estate: number; claims: Partial<Claim>[] }) {
  return {
    weirs: [{ id: 'weir', releasableM3: estate }],
    pumps: [{ id: 'pump', weirId: 'weir', weekM3: estate }],
    outlets: [{ id: 'outlet', pumpId: 'pump', weekM3: estate }],
    claims: claims.map((claim, index) => ({
      id: String(index + 1),
      outletIds: ['outlet'],
      needM3: 0,
      entitledM3: 1,
      receivedM3: 0,
      tier: 0,
      ...claim,
    })),
  }
}

function expectAmounts(result: { claims: { allocatedM3: number }[] }, expected: number[]) {
  expect(result.claims).toHaveLength(expected.length)
  result.claims.forEach(({ allocatedM3 }, index) => {
    expect(allocatedM3).toBeLessThanOrEqual(expected[index]! + 1e-9)
    expect(allocatedM3).toBeGreaterThan(expected[index]! - LITRE_M3)
  })
}

describe('max-min fairness on one source', () => {
  it('fills 2, 2.6, 4 and 5 from 10 as 2, 2.6, 2.7, 2.7', () => {
    // Keshav 1997, An Engineering Approach to Computer Networking, pp. 215-217, as adapted in course notes (verified).
    const claims = [2, 2.6, 4, 5].map((needM3) => ({ needM3 }))
    expectAmounts(allocate(onePurse({ estate: 10, claims })), [2, 2.6, 2.7, 2.7])
  })

  it('gives weights their due: 4, 2, 10, 4 with weights 2.5, 4, 0.5, 1 from 16', () => {
    // Same source; input and first rounds seen, final answer computed (verified-input).
    const weights = [2.5, 4, 0.5, 1]
    const claims = [4, 2, 10, 4].map((needM3, index) => ({ needM3, entitledM3: weights[index]! }))
    expectAmounts(allocate(onePurse({ estate: 16, claims })), [4, 2, 6, 4])
  })

  it('gives weights their due: 15, 60, 45, 20 with weights 1, 2, 1.5, 0.5 from 100', () => {
    const weights = [1, 2, 1.5, 0.5] // derived from the definition
    const claims = [15, 60, 45, 20].map((needM3, index) => ({ needM3, entitledM3: weights[index]! }))
    expectAmounts(allocate(onePurse({ estate: 100, claims })), [15, 42.5, 31.875, 10.625])
  })

  it('leaves in the store what nobody needs', () => {
    const result = allocate(onePurse({ estate: 20, claims: [5, 5, 5].map((needM3) => ({ needM3 })) }))
    expectAmounts(result, [5, 5, 5])
    expect(result.leftM3ByWeir).toEqual({ weir: 5 })
    expect(result.claims.map(({ heldBy }) => heldBy.kind)).toEqual(['need', 'need', 'need'])
  })
})

describe('max-min fairness on a network', () => {
  // Bertsekas and Gallager, Data Networks, section 6.5, five flows on three links of capacity 1 (answer from memory):
  // flows 2, 3 and 5 get 1/3, flow 1 gets 2/3, flow 4 gets 1. Flow 5 crosses links A and B, which here lie one behind
  // the other: A is the pump of flows 2, 3 and 5, and B is the weir that this pump shares with flow 1's.
  // The weir then also carries flows 2 and 3, so its size is 1 plus the two thirds that they take.
  it('agrees with progressive filling where a tree of weir, pump and outlet can encode it', () => {
    const result = allocate({
      weirs: [
        { id: 'B', releasableM3: 5 },
        { id: 'C', releasableM3: 3 },
      ],
      pumps: [
        { id: 'A', weirId: 'B', weekM3: 3 },
        { id: 'beside A', weirId: 'B', weekM3: 100 },
        { id: 'on C', weirId: 'C', weekM3: 100 },
      ],
      outlets: [
        { id: 'a', pumpId: 'A', weekM3: 100 },
        { id: 'b', pumpId: 'beside A', weekM3: 100 },
        { id: 'c', pumpId: 'on C', weekM3: 100 },
      ],
      claims: [
        ['1', 'b'],
        ['2', 'a'],
        ['3', 'a'],
        ['4', 'c'],
        ['5', 'a'],
      ].map(([id, outlet]) => ({ id: id!, outletIds: [outlet!], needM3: 100, entitledM3: 1, receivedM3: 0, tier: 0 })),
    })
    expect(result.claims.map(({ allocatedM3 }) => allocatedM3)).toEqual([2, 1, 1, 3, 1]) // thirds of the published unit
    expect(result.claims.map(({ heldBy }) => ('id' in heldBy ? heldBy.id : heldBy.kind))).toEqual([
      'B',
      'A',
      'A',
      'C',
      'A',
    ])
  })
})

describe('sharing a shortage among claims of 100, 200 and 300', () => {
  // Aumann and Maschler 1985, Journal of Economic Theory 36:195-213. Equal awards and proportional rows follow from the
  // definitions (derived); at an estate of 100 equal awards coincide with the classical table (verified).
  const table: { estate: number; rule: RuleName; expected: number[] }[] = [
    { estate: 100, rule: 'equal-small-first', expected: [33.33333, 33.33333, 33.33333] },
    { estate: 200, rule: 'equal-small-first', expected: [66.66667, 66.66667, 66.66667] },
    { estate: 300, rule: 'equal-small-first', expected: [100, 100, 100] },
    { estate: 100, rule: 'proportional', expected: [16.66667, 33.33333, 50] },
    { estate: 200, rule: 'proportional', expected: [33.33333, 66.66667, 100] },
    { estate: 300, rule: 'proportional', expected: [50, 100, 150] },
  ]
  it.each(table)('$rule, estate $estate', ({ estate, rule, expected }) => {
    const claims = [100, 200, 300].map((needM3) => ({ needM3 }))
    expectAmounts(allocate(inputByRule(rule, onePurse({ estate, claims }))), expected)
  })
})
