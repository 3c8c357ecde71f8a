import { describe, expect, it } from 'vitest'
import { entitlements } from '../../../domain/rotation/share/entitlements.ts'

type EntitlementWeek = Parameters<typeof entitlements>[0]['weeks'][number]

const plots = [
  { id: 'a', areaM2: 400, persons: 2, weirIds: ['upper'] },
  { id: 'b', areaM2: 1600, persons: 6, weirIds: ['upper', 'lower'] },
]
const shares = [
  { plotId: 'a', shares: 1, fromOn: '2026-01-01' },
  { plotId: 'b', shares: 1, fromOn: '2026-01-01' },
  { plotId: 'b', shares: 3, fromOn: '2026-05-11' },
]
const both = [
  { plotId: 'a', needM3: 100 },
  { plotId: 'b', needM3: 100 },
]
const week = (changes: Partial<EntitlementWeek> = {}): EntitlementWeek => ({
  weekStartOn: '2026-05-04',
  releasedM3: 20,
  claims: both,
  ...changes,
})
const entitled = (weeks: EntitlementWeek[], rule: Parameters<typeof entitlements>[0]['rule']) =>
  entitlements({ plots, shares, rule, weeks }).map(({ entitledM3 }) => entitledM3)

describe('what a plot is entitled to', () => {
  it.each([
    { says: 'equal', rule: { weights: { equal: 1 } }, expected: [10, 10] },
    { says: 'area', rule: { weights: { area: 1 } }, expected: [4, 16] },
    { says: 'area, counted up to 1200 m2', rule: { weights: { area: 1 }, areaCapM2: 1200 }, expected: [5, 15] },
    { says: 'persons', rule: { weights: { persons: 2 } }, expected: [5, 15] },
    { says: 'half equal, half area', rule: { weights: { equal: 1, area: 1 } }, expected: [7, 13] },
    { says: 'share, as it stood on that day', rule: { weights: { share: 1 } }, expected: [10, 10] },
  ])('follows the rule: $says', ({ rule, expected }) => {
    const found = entitled([week()], rule)
    expect(found).toHaveLength(expected.length)
    for (const [index, value] of found.entries()) expect(value).toBeCloseTo(expected[index]!, 10)
  })

  it('follows a share from the day on which it changed', () => {
    expect(entitled([week({ weekStartOn: '2026-05-11' })], { weights: { share: 1 } })).toEqual([5, 15])
  })

  it('is at most the need of that week, and what is cut off goes to nobody', () => {
    const claims = [{ plotId: 'a', needM3: 3 }, both[1]!]
    expect(entitled([week({ claims })], { weights: { equal: 1 } })).toEqual([3, 10])
  })

  it('is nothing in a week without a claim, so that absence banks nothing', () => {
    const absent = entitlements({
      plots,
      shares,
      rule: { weights: { equal: 1 } },
      weeks: [week({ claims: [both[1]!] }), week({ weekStartOn: '2026-05-11' })],
    })
    expect(absent[0]!.byWeek.map(({ entitledM3 }) => entitledM3)).toEqual([0, 10])
    expect(absent[1]!.byWeek.map(({ entitledM3 }) => entitledM3)).toEqual([20, 10])
  })

  it('shares each weir among those who can draw from it, by that weir’s own rule', () => {
    const releasedM3ByWeir = { upper: 12, lower: 8 }
    const byWeir = { upper: { weights: { area: 1 } } }
    const plain = week({ releasedM3: undefined, releasedM3ByWeir })
    expect(entitled([plain], { weights: { equal: 1 } })).toEqual([6, 14])
    const [a, b] = entitled([plain], { weights: { equal: 1 }, byWeir })
    expect(a).toBeCloseTo(2.4, 10)
    expect(b).toBeCloseTo(17.6, 10)
  })

  it('falls by what a common breakdown took from the plot, never below zero', () => {
    const received = [
      { plotId: 'a', breakdownM3: 4, deliveredM3: 6 },
      { plotId: 'b', breakdownM3: 40 },
    ]
    expect(entitled([week({ received })], { weights: { equal: 1 } })).toEqual([6, 0])
  })

  it('counts a forfeited turn and a lapsed excused one as received', () => {
    const received = [
      { plotId: 'a', deliveredM3: 2, forfeitedM3: 3 },
      { plotId: 'a', lapsedM3: 1 },
    ]
    const [a, b] = entitlements({ plots, shares, rule: { weights: { equal: 1 } }, weeks: [week({ received })] })
    expect([a!.receivedM3, b!.receivedM3]).toEqual([6, 0])
  })

  it('cannot be said where the rule leans on figures that nobody has', () => {
    const nobody = plots.map(({ id, areaM2 }) => ({ id, areaM2 }))
    const say = (weights: Record<string, number>) => () =>
      entitlements({ plots: nobody, shares, rule: { weights }, weeks: [week()] })
    expect(say({ persons: 1 })).toThrow('basis-empty')
    expect(say({})).toThrow('mix-empty')
    expect(say({ equal: -1 })).toThrow('basis-below-zero')
    expect(() => entitled([week({ releasedM3: undefined })], { weights: { equal: 1 } })).toThrow('release-once')
    expect(() => entitled([week({ releasedM3: -2 })], { weights: { equal: 1 } })).toThrow('volume-below-zero')
  })
})
