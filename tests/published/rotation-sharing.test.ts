import { describe, expect, it } from 'vitest'
import { allocate } from '../../domain/rotation/allocation/allocate.ts'
import type { Claim } from '../../domain/rotation/allocation/types.ts'
import { lineSharing } from '../../domain/rotation/fairness/line-sharing.ts'
import { inputByRule, type RuleName } from '../../domain/rotation/rule/compare.ts'
import { turnHours } from '../../domain/rotation/share/turn-hours.ts'

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

describe('turns by time on a line that fills and drains', () => {
  // Worked from the usual formula of turns by time (warabandi; Bandaragoda and Rehman 1995, from memory).
  const members = (sizes: number[], filling: number[], draining: number[] = []) =>
    sizes.map((size, at) => ({ size, fillingHours: filling[at]!, drainingHours: draining[at] ?? 0 }))

  it('come to a week for five farms of 2 to 4 ha', () => {
    const { hoursPerSize, turns } = turnHours({
      periodHours: 168,
      members: members([2, 3.5, 1.5, 4, 3], [0.2, 0.15, 0.1, 0.25, 0], [0, 0, 0, 0, 0.45]),
    })
    expect(hoursPerSize).toBeCloseTo(11.98214, 5)
    expect(turns.map((hours) => hours.toFixed(4))).toEqual(['24.1643', '42.0875', '18.0732', '48.1786', '35.4964'])
    expect(turns.reduce((all, hours) => all + hours)).toBeCloseTo(168, 9)
  })

  it('come to a day of the pump for four gardens', () => {
    const { hoursPerSize, turns } = turnHours({
      periodHours: 24,
      members: members([0.2, 0.35, 0.15, 0.3], [0.1, 0.1, 0.1, 0.1]),
    })
    expect(hoursPerSize).toBeCloseTo(23.6, 9)
    expect(turns.map((hours) => hours.toFixed(6))).toEqual(['4.820000', '8.360000', '3.640000', '7.180000'])
  })

  it('refuse a period that filling takes whole', () => {
    expect(() => turnHours({ periodHours: 1, members: members([1], [1]) })).toThrow('turn-hours-none')
  })
})

describe('head and tail of a line', () => {
  // By hand: 3 and 2 m3 an hour, ten hours. Five hours each bring 15 and 10 m3; the same volume is 10 / (1/3 + 1/2) = 12 m3 in
  // 4 and 6 hours: 24 m3 in place of 25.
  const plots = [
    { plotId: 'head', flowM3PerH: 3, fillingHours: 0 },
    { plotId: 'tail', flowM3PerH: 2, fillingHours: 0 },
  ]

  it('have the same hours or the same water, and equal water costs a cubic metre', () => {
    const shared = lineSharing({ hours: 10, plots })!
    expect(shared.sameHours.turns.map(({ volumeM3 }) => volumeM3)).toEqual([15, 10])
    expect(shared.sameVolume.turns.map(({ hours }) => Math.round(hours * 1e9) / 1e9)).toEqual([4, 6])
    expect(shared.sameHours.volumeM3 - shared.sameVolume.volumeM3).toBeCloseTo(1, 9)
    expect(shared.sameHours.turns.map(({ hoursPerM3 }) => hoursPerM3)).toEqual([1 / 3, 1 / 2])
  })

  it('lose the minutes in which the line only fills', () => {
    // An hour of filling at the tail: 5 hours bring 15 and 8 m3; the same volume is 9 / (5/6) = 10.8 m3 in 3.6 and 6.4 hours.
    const shared = lineSharing({ hours: 10, plots: [plots[0]!, { ...plots[1]!, fillingHours: 1 }] })!
    expect(shared.sameHours.turns.map(({ volumeM3 }) => volumeM3)).toEqual([15, 8])
    expect(shared.sameVolume.turns.map(({ hours }) => Math.round(hours * 1e9) / 1e9)).toEqual([3.6, 6.4])
    expect(lineSharing({ hours: 1, plots: [plots[0]!, { ...plots[1]!, fillingHours: 1 }] })).toBeNull()
  })
})
