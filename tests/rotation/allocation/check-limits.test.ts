import { describe, expect, it } from 'vitest'
import { allocate } from '../../../domain/rotation/allocation/allocate.ts'
import { checkAllocation } from '../../../domain/rotation/allocation/check.ts'
import type { AllocationInput, Claim } from '../../../domain/rotation/allocation/types.ts'

/** Claims on one outlet of so many m3; of two claims two litres are rounding, a third is not. */
function input(outletM3: number, claims: Partial<Claim>[], more: Partial<AllocationInput> = {}): AllocationInput {
  return {
    weirs: [{ id: 'w', releasableM3: 100 }],
    pumps: [{ id: 'p', weirId: 'w', weekM3: 90 }],
    outlets: [{ id: 'o', pumpId: 'p', weekM3: outletM3 }],
    claims: claims.map((claim, at) => {
      return { id: `${at + 1}`, outletIds: ['o'], needM3: 10, entitledM3: 10, receivedM3: 0, tier: 1, ...claim }
    }),
    ...more,
  }
}

/** What the judge says of so much given to each, all through the one outlet. */
function said(of: AllocationInput, givenM3: number[], leftM3?: number): string[] {
  const total = Math.round(givenM3.reduce((sum, each) => sum + each, 0) * 1000)
  const given = allocate(of)
  const claims = given.claims.map((claim, at) => ({
    ...claim,
    allocatedM3: givenM3[at]!,
    byOutletM3: { o: givenM3[at]! },
  }))
  const left = leftM3 ?? (of.weirs[0]!.releasableM3 * 1000 - total) / 1000
  return checkAllocation({ input: of, allocation: { claims, leftM3ByWeir: { w: left } } }).map(
    ({ code, values }) => `${code} ${values.claim ?? values.id}`,
  )
}

/** The share that is right, one that rounding explains, and one that it does not, with what is said of it. */
type Case = [what: string, of: AllocationInput, right: number[], near: number[], far: number[], said: string[]]

const LEVEL_2 = ['level-could-be-raised 2']
const LEVEL_1 = ['level-could-be-raised 1']

const cases: Case[] = [
  ['a need that could be met', input(50, [{}, {}]), [10, 10], [9.998, 10], [9.997, 10], LEVEL_1],
  ['a request below the need', input(50, [{ requestedM3: 8 }, {}]), [8, 10], [7.998, 10], [7.997, 10], LEVEL_1],
  ['one level for both', input(6, [{}, {}]), [3, 3], [3.001, 2.999], [3.002, 2.998], LEVEL_2],
  ['by entitlement', input(6, [{ entitledM3: 20 }, {}]), [4, 2], [4.001, 1.999], [4.002, 1.998], LEVEL_2],
  ['with what was received', input(6, [{ receivedM3: 2 }, {}]), [2, 4], [2.001, 3.999], [2.002, 3.998], LEVEL_2],
  [
    'by need where nothing is entitled',
    input(6, [
      { entitledM3: 0, needM3: 20 },
      { entitledM3: 0, needM3: 10 },
    ]),
    [4, 2],
    [4.001, 1.999],
    [4.002, 1.998],
    LEVEL_2,
  ],
  ['an earlier tier first', input(6, [{ tier: 0 }, {}]), [6, 0], [5.998, 0.002], [5.997, 0.003], LEVEL_1],
  [
    'a later tier’s minimum before that',
    input(6, [{ tier: 0 }, { minimumM3: 1 }]),
    [5, 1],
    [4.998, 1.002],
    [4.997, 1.003],
    LEVEL_1,
  ],
  [
    'a later tier’s minimum, by as much as is missing',
    input(6, [{ tier: 0 }, { minimumM3: 1 }]),
    [5, 1],
    [5.002, 0.998],
    [5.003, 0.997],
    ['minimum-could-be-raised 2'],
  ],
  [
    'an earlier tier’s minimum before a later one’s',
    input(6, [
      { tier: 0, minimumM3: 4 },
      { tier: 1, minimumM3: 4 },
    ]),
    [4, 2],
    [3.998, 2.002],
    [3.997, 2.003],
    ['minimum-could-be-raised 1'],
  ],
  [
    'minimums in proportion',
    input(3, [{ minimumM3: 2 }, { minimumM3: 4 }]),
    [1, 2],
    [1.002, 1.998],
    [1.003, 1.997],
    ['minimum-could-be-raised 2'],
  ],
  [
    'a minimum no higher than the need',
    input(50, [{ minimumM3: 30 }, {}]),
    [10, 10],
    [9.998, 10],
    [9.997, 10],
    ['minimum-could-be-raised 1', 'level-could-be-raised 1'],
  ],
  [
    'nobody’s minimum for another’s level',
    input(6, [{ entitledM3: 1, minimumM3: 5 }, {}]),
    [5, 1],
    [5.002, 0.998],
    [5.003, 0.997],
    LEVEL_2,
  ],
]

describe('the judge of allocations at its limit', () => {
  it.each(cases)('%s', (_, of, right, near, far, expected) => {
    expect(allocate(of).claims.map(({ allocatedM3 }) => allocatedM3)).toEqual(right)
    expect(said(of, right)).toEqual([])
    expect(said(of, near)).toEqual([])
    expect(said(of, far)).toEqual(expected)
  })

  it('lets each place give its litres, and no litre more', () => {
    const one = (more: Partial<AllocationInput>, outletM3 = 50) =>
      input(outletM3, [{ needM3: 50, entitledM3: 50 }], more)
    const weirs = [{ id: 'w', releasableM3: 7.0009 }]
    const pumps = [{ id: 'p', weirId: 'w', weekM3: 7.0009 }]
    const tanks = [{ id: 't', pumpId: 'p', weekM3: 7.0009 }]
    const outlets = [{ id: 'o', pumpId: 'p', weekM3: 50, tankId: 't' }]
    expect([said(one({ weirs }), [7]), said(one({ weirs }), [7.001])]).toEqual([[], ['above-weir w']])
    expect([said(one({ pumps }), [7]), said(one({ pumps }), [7.001])]).toEqual([[], ['above-pump p']])
    expect([said(one({}, 7.0009), [7]), said(one({}, 7.0009), [7.001])]).toEqual([[], ['above-outlet o']])
    expect([said(one({ tanks, outlets }), [7]), said(one({ tanks, outlets }), [7.001])]).toEqual([[], ['above-tank t']])
    const need = input(50, [{ needM3: 7.0009 }])
    expect([said(need, [7]), said(need, [7.001])]).toEqual([[], ['above-need 1']])
  })

  it('takes what is left at its word only where it adds up', () => {
    const of = input(6, [{}, {}])
    expect(said(of, [3, 3], 94)).toEqual([])
    for (const leftM3 of [93.999, 94.001, Number.NaN])
      expect(said(of, [3, 3], leftM3)).toEqual(['left-does-not-add-up w'])
  })

  it('finds water that another outlet could lead to a claim, by the pump that both hang on', () => {
    // The first may draw by either outlet, the second by the narrow one alone: both have 5 when the first goes by the wide one.
    const two: AllocationInput = {
      ...input(5, [{ outletIds: ['o', 'wide'] }, {}]),
      outlets: [
        { id: 'o', pumpId: 'p', weekM3: 5 },
        { id: 'wide', pumpId: 'p', weekM3: 5 },
      ],
    }
    const given = allocate(two)
    expect(given.claims.map(({ allocatedM3 }) => allocatedM3)).toEqual([5, 5])
    const taken = { o: 3, wide: 0 }
    const worse = [
      { ...given.claims[0]!, allocatedM3: 3, byOutletM3: taken },
      { ...given.claims[1]!, allocatedM3: 2, byOutletM3: { o: 2 } },
    ]
    const codes = checkAllocation({ input: two, allocation: { claims: worse, leftM3ByWeir: { w: 95 } } })
    expect(codes.map(({ values }) => values.claim)).toEqual(['2', '1'])
  })
})
