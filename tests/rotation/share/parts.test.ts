import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { entitlements } from '../../../domain/rotation/share/entitlements.ts'
import { type EntitlementMix, type Plot, partsOf } from '../../../domain/rotation/share/mix.ts'

const ON = '2026-05-04'
const held = (...of: [plotId: string, shares: number, fromOn?: string][]) =>
  of.map(([plotId, shares, fromOn = '2026-01-01']) => ({ plotId, shares, fromOn }))
const of = (plots: Plot[], mix: EntitlementMix, shares = held(), onDate = ON) => [
  ...partsOf({ plots, shares, mix, onDate }).values(),
]

/** Three plots of which every figure is another. */
const plots: Plot[] = [
  { id: 'a', areaM2: 100, persons: 5, needM3: 6 },
  { id: 'b', areaM2: 300, persons: 3, needM3: 1 },
  { id: 'c', areaM2: 600, persons: 2, needM3: 3 },
]
const shares = held(['a', 1], ['b', 4], ['c', 5])

describe('the part of each plot', () => {
  it('follows one basis alone by its own figures', () => {
    expect(of(plots, { weights: { area: 9 } })).toEqual([0.1, 0.3, 0.6])
    expect(of(plots, { weights: { area: 9 }, areaCapM2: 300 })).toEqual([1 / 7, 3 / 7, 3 / 7])
    expect(of(plots, { weights: { persons: 1 } })).toEqual([0.5, 0.3, 0.2])
    expect(of(plots, { weights: { need: 1 } })).toEqual([0.6, 0.1, 0.3])
    expect(of(plots, { weights: { share: 1 } }, shares)).toEqual([0.1, 0.4, 0.5])
    expect(of([], { weights: {} })).toEqual([])
  })

  it('takes the area for the need of all where one is not known or nobody needs anything', () => {
    const need = (...needs: (number | null | undefined)[]) =>
      of(
        plots.map(({ needM3: _, ...plot }, at) => (needs[at] === undefined ? plot : { ...plot, needM3: needs[at] })),
        { weights: { need: 1 } },
      )
    for (const unknown of [
      [6, 1, null],
      [6, undefined, 3],
      [0, 0, 0],
    ])
      expect(need(...unknown)).toEqual([0.1, 0.3, 0.6])
    expect(need(0, 0, 3)).toEqual([0, 0, 1])
  })

  it('goes by the share of the day, the last of one day', () => {
    const rows = held(['a', 9, '2026-05-05'], ['a', 1, ON], ['b', 1], ['c', 8, '2025-01-01'], ['c', 2, ON])
    expect(of(plots, { weights: { share: 1 } }, rows)).toEqual([0.25, 0.25, 0.5])
    expect(of(plots, { weights: { share: 1 } }, held(['a', 1]))).toEqual([1, 0, 0])
  })

  it('mixes whole parts by weight: all of them make one, whatever the order, and only proportions matter', () => {
    const weight = fc.constantFrom(0, 1, 2, 5)
    const weights = fc.record({ equal: weight, area: weight, share: weight, persons: weight, need: weight })
    fc.assert(
      fc.property(weights, (drawn) => {
        fc.pre(Object.values(drawn).some((one) => one > 0))
        const parts = of(plots, { weights: drawn }, shares)
        expect(parts.reduce((sum, part) => sum + part, 0)).toBeCloseTo(1, 12)
        const turned = of(plots.toReversed(), { weights: drawn }, shares.toReversed()).toReversed()
        const scaled = of(
          plots,
          { weights: Object.fromEntries(Object.entries(drawn).map(([basis, one]) => [basis, 3 * one])) },
          shares,
        )
        const total = Object.values<number>(drawn).reduce((sum, one) => sum + one, 0)
        parts.forEach((part, at) => {
          expect(turned[at]).toBeCloseTo(part, 12)
          expect(scaled[at]).toBeCloseTo(part, 12)
          // Tenths of the five ways, by the figures above: a third each where all count alike.
          const tenths = {
            equal: [10 / 3, 10 / 3, 10 / 3],
            area: [1, 3, 6],
            share: [1, 4, 5],
            persons: [5, 3, 2],
            need: [6, 1, 3],
          }
          const whole = Object.entries(tenths).reduce((sum, [basis, own]) => sum + drawn[basis as 'area'] * own[at]!, 0)
          expect(part).toBeCloseTo(whole / total / 10, 12)
        })
      }),
    )
  })

  it('cannot be told without a weight, where a basis is nothing for all, or of less than nothing', () => {
    const refused =
      (mix: EntitlementMix, own = plots, rows = shares) =>
      () =>
        of(own, mix, rows)
    expect(refused({ weights: {} })).toThrow('mix-empty')
    expect(refused({ weights: { area: 0 } })).toThrow('mix-empty')
    expect(refused({ weights: { share: 1 } }, plots, [])).toThrow('basis-empty')
    expect(refused({ weights: { equal: 1, share: 0 } }, plots, [])).not.toThrow()
    for (const wrong of [-1, Infinity, Number.NaN]) {
      expect(refused({ weights: { area: wrong } })).toThrow('basis-below-zero')
      expect(refused({ weights: { persons: 1 } }, [{ ...plots[0]!, persons: wrong }])).toThrow('basis-below-zero')
    }
  })
})

describe('an entitlement of weeks', () => {
  type Week = Parameters<typeof entitlements>[0]['weeks'][number]
  const week = (more: Partial<Week> = {}): Week => ({
    weekStartOn: ON,
    releasedM3: 10,
    claims: plots.map(({ id }) => ({ plotId: id, needM3: 100 })),
    ...more,
  })
  const found = (...weeks: Week[]) => entitlements({ plots, shares, rule: { weights: { area: 1 } }, weeks })

  it('adds week to week, what came with what was forfeited and what lapsed, and takes off what broke down', () => {
    const first = week({
      received: [
        { plotId: 'b', deliveredM3: 1, forfeitedM3: 0.2, lapsedM3: 0.03 },
        { plotId: 'b', deliveredM3: 0.5, breakdownM3: 1 },
      ],
    })
    const [, b] = found(first, week({ weekStartOn: '2026-05-11', releasedM3: 20 }))
    expect(b!.byWeek.map(({ entitledM3 }) => entitledM3)).toEqual([2, 6])
    expect(b!.byWeek.map(({ receivedM3 }) => receivedM3)).toEqual([expect.closeTo(1.73, 12), 0])
    expect([b!.entitledM3, b!.receivedM3]).toEqual([8, expect.closeTo(1.73, 12)])
    expect(found(first).map(({ entitledM3 }) => entitledM3)).toEqual([1, 2, 6])
  })

  it('caps nothing where the need was not reckoned, and takes no need for unknown where it is nothing', () => {
    const claims = (needM3: number | null) => plots.map(({ id }) => ({ plotId: id, needM3: id === 'c' ? needM3 : 100 }))
    expect(found(week({ claims: claims(null) }))[2]!.entitledM3).toBe(6)
    expect(found(week({ claims: claims(0) }))[2]!.entitledM3).toBe(0)
    expect(found(week({ claims: claims(6) }))[2]!.entitledM3).toBe(6)
    expect(found(week({ claims: claims(5.9) }))[2]!.entitledM3).toBe(5.9)
  })

  it('asks for one release, by the group or by the weir, of nothing or more, and for plots that are known', () => {
    expect(() => found(week({ releasedM3ByWeir: { w: 1 } }))).toThrow('release-once')
    expect(() => found({ weekStartOn: ON, claims: [] })).toThrow('release-once')
    expect(() => found({ weekStartOn: ON, claims: [], releasedM3ByWeir: {} })).toThrow('release-once')
    expect(found(week({ releasedM3: 0 })).map(({ entitledM3 }) => entitledM3)).toEqual([0, 0, 0])
    expect(() => found(week({ releasedM3: -1 }))).toThrow('volume-below-zero')
    expect(() => found(week({ claims: [{ plotId: 'a', needM3: -1 }] }))).toThrow('volume-below-zero')
    expect(() => found(week({ claims: [{ plotId: 'z', needM3: 1 }] }))).toThrow(RangeError)
    for (const field of ['deliveredM3', 'forfeitedM3', 'lapsedM3', 'breakdownM3'])
      expect(() => found(week({ received: [{ plotId: 'a', [field]: -0.1 }] }))).toThrow('volume-below-zero')
  })
})
