import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { missedPartPrice, slipPrice } from '../../../domain/fees/charge/slip-price.ts'
import { feeProposal } from '../../../domain/fees/proposal.ts'
import { type Tariff, type TariffPart, tariffFault, tariffOn } from '../../../domain/fees/tariff/tariff.ts'
import { decimal, digitsAt, least, quotientHalfUp } from '../../../domain/money/decimal.ts'

/** The price of a slip as a plain number. */
const price = (...of: Parameters<typeof slipPrice>) => {
  const found = slipPrice(...of)
  return found && Number(digitsAt(found.exact, 12)) / Number(digitsAt(found.over, 12))
}
const NONE = decimal(0)

describe('a price by volume', () => {
  it('is that of each litre in its own block, counted on from what was drawn before', () => {
    const litres = fc.constantFrom(0, 1, 999, 1000, 1001, 2500)
    fc.assert(
      fc.property(litres, litres, fc.constantFrom([1], [1, 2]), (before, drawn, ends) => {
        const blocks = [...ends, null].map((upToM3, at) => ({ upToM3, priceMinor: [30, 70, 110][at]! }))
        let sum = 0
        for (let litre = before + 1; litre <= before + drawn; litre++)
          sum += blocks.find(({ upToM3 }) => upToM3 === null || litre <= upToM3 * 1000)!.priceMinor
        const found = price({ kind: 'per-m3', blocks }, { volumeM3: drawn / 1000 }, decimal(before / 1000))
        if (drawn === 0) expect(found).toBeNull()
        else expect(found).toBeCloseTo(sum / 1000, 9)
      }),
    )
  })
})

describe('a price by the turn', () => {
  const turn: TariffPart = { kind: 'per-turn', priceMinor: 90 }

  it('is the part that came of what was planned, and never more than one', () => {
    const of = (volumeM3: number, plannedM3?: number) =>
      price(turn, { volumeM3, ...(plannedM3 === undefined ? {} : { plannedM3 }) }, NONE)
    expect([of(3, 9), of(8.999, 9), of(9, 9), of(10, 9), of(5), of(5, 0), of(0, 9)]).toEqual([
      30,
      89.99,
      90,
      90,
      90,
      90,
      null,
    ])
    expect(slipPrice(turn, { volumeM3: 3, plannedM3: 9 }, NONE)!.quantity).toBeCloseTo(1 / 3, 12)
    expect(slipPrice(turn, { volumeM3: 9, plannedM3: 9 }, NONE)!.quantity).toBe(1)
  })

  it('counts pump hours to the second, and a missed turn where nobody came', () => {
    const hours: TariffPart = { kind: 'per-pump-hour', priceMinor: 90 }
    expect(price(hours, { volumeM3: 1, pumpHours: 1 / 3 }, NONE)).toBe(30)
    expect(price(hours, { volumeM3: 1 }, NONE)).toBe(0)
    const missed: TariffPart = { kind: 'no-show', priceMinor: 40 }
    expect([price(missed, { volumeM3: 0, noShow: true }, NONE), price(missed, { volumeM3: 5 }, NONE)]).toEqual([
      40,
      null,
    ])
  })

  it('that nobody took is a part of all that it would have cost', () => {
    const parts: TariffPart[] = [
      {
        kind: 'per-m3',
        blocks: [
          { upToM3: 2, priceMinor: 10 },
          { upToM3: null, priceMinor: 30 },
        ],
      },
      { kind: 'per-pump-hour', priceMinor: 60 },
      { kind: 'per-turn', priceMinor: 90 },
      { kind: 'flat', priceMinor: 500, every: 'month' },
    ]
    const of = (slip: Parameters<typeof missedPartPrice>[2]) => {
      const found = missedPartPrice(parts, 0.25, slip)
      return found && Number(digitsAt(found.exact, 12)) / Number(digitsAt(found.over, 12))
    }
    // Three cubic metres are 50, half an hour 30 and the turn 90: 170.
    expect(of({ volumeM3: 0, plannedM3: 3, pumpHours: 0.5, noShow: true })).toBeCloseTo(42.5, 9)
    expect(of({ volumeM3: 0, plannedM3: 3, noShow: false })).toBeNull()
    expect([of({ volumeM3: 0, plannedM3: 0, noShow: true }), of({ volumeM3: 0, noShow: true })]).toEqual([null, null])
  })
})

describe('the tariff of a day', () => {
  const tariff = (id: string, from: string, payerClass: string | null): Tariff => ({ id, from, payerClass, parts: [] })
  const tariffs = [
    tariff('late', '2026-06-01', null),
    tariff('first', '2026-01-01', null),
    tariff('again', '2026-06-01', null),
    tariff('school', '2026-03-01', 'school'),
  ]
  const on = (day: string, payerClass: string | null = null) => tariffOn({ tariffs, on: day, payerClass })?.id

  it('is the latest from that day or before, of two of one day the one written later', () => {
    expect([on('2025-12-31'), on('2026-01-01'), on('2026-05-31'), on('2026-06-01')]).toEqual([
      undefined,
      'first',
      'first',
      'again',
    ])
  })

  it('is a class’s own, else everybody’s, and drinking water’s own alone', () => {
    expect([on('2026-02-28', 'school'), on('2026-03-01', 'school'), on('2026-07-01', 'school')]).toEqual([
      'first',
      'school',
      'school',
    ])
    expect([on('2026-07-01', 'tenant'), on('2026-07-01', 'drinking')]).toEqual(['again', undefined])
  })

  it('is refused where it cannot be worked with', () => {
    const blocks = (...ends: (number | null)[]): TariffPart => ({
      kind: 'per-m3',
      blocks: ends.map((upToM3) => ({ upToM3, priceMinor: 1 })),
    })
    const fault = (...parts: TariffPart[]) => tariffFault({ parts })
    expect(fault()).toBe('tariff-has-no-parts')
    expect([0, -1, 1.01].map((part) => fault({ kind: 'no-show-part', part }))).toEqual(Array(3).fill('part-not-of-one'))
    expect([0.01, 1].map((part) => fault({ kind: 'no-show-part', part }))).toEqual([null, null])
    expect([-1, Infinity, Number.NaN].map((priceMinor) => fault({ kind: 'per-turn', priceMinor }))).toEqual(
      Array(3).fill('price-below-zero'),
    )
    expect(fault({ kind: 'no-show-part', part: 1 }, { kind: 'per-turn', priceMinor: -1 })).toBe('price-below-zero')
    expect([fault({ kind: 'per-turn', priceMinor: 0 }), fault(blocks(null)), fault(blocks(1, 2, null))]).toEqual([
      null,
      null,
      null,
    ])
    for (const wrong of [
      blocks(),
      blocks(1),
      blocks(0, null),
      blocks(2, 2, null),
      blocks(2, 1, null),
      blocks(null, null),
    ])
      expect(fault(wrong)).toBe('blocks-do-not-rise')
  })
})

describe('a fee proposed', () => {
  const proposed = (more: object = {}) =>
    feeProposal({
      ...{ yearlyCostsMinor: { stipend: 700, spares: 200 }, replacements: [{ priceMinor: 1000, lifeYears: 8 }] },
      ...{
        paidVolumeM3: { cautious: 100, middle: 200 },
        plots: 10,
        examples: [{ name: 'small', yearlyM3: 3 }],
        ...more,
      },
    })

  it('is the costs of a year over the water paid for, or the plots, rounded up', () => {
    // 1000 over 8 years is 125, with the costs 1025: 10.25 a cubic metre, 102.5 a plot; by halves 5.125 and 51.25.
    const { cautious, middle, ...whole } = proposed()
    expect(whole).toEqual({ yearlyCostMinor: 1025, replacementMinor: 125 })
    expect(cautious).toEqual({
      ...{ pricePerM3Minor: 11, flatPerPlotMinor: 103, mixed: { flatPerPlotMinor: 52, pricePerM3Minor: 6 } },
      examples: [{ name: 'small', byVolumeMinor: 33, flatMinor: 103, mixedMinor: 70 }],
    })
    expect(middle).toMatchObject({ pricePerM3Minor: 6, mixed: { flatPerPlotMinor: 52, pricePerM3Minor: 3 } })
    expect(proposed({ flatFraction: 0.2 }).cautious.mixed).toEqual({ flatPerPlotMinor: 21, pricePerM3Minor: 9 })
    expect(proposed({ flatFraction: 0 }).cautious.mixed).toEqual({ flatPerPlotMinor: 0, pricePerM3Minor: 11 })
    expect(proposed({ flatFraction: 1 }).cautious.mixed).toEqual({ flatPerPlotMinor: 103, pricePerM3Minor: 0 })
    expect(proposed({ replacements: [{ priceMinor: 1000, lifeYears: 3 }] }).replacementMinor).toBe(334)
    expect(
      proposed({ yearlyCostsMinor: { all: 1075 }, replacements: [{ priceMinor: 0, lifeYears: 1 }] }).cautious
        .pricePerM3Minor,
    ).toBe(11)
  })

  it('is refused of nothing', () => {
    for (const [wrong, code] of [
      [{ replacements: [{ priceMinor: 1, lifeYears: 0 }] }, 'years-of-life-not-above-zero'],
      [{ paidVolumeM3: { cautious: 0, middle: 1 } }, 'paid-volume-not-above-zero'],
      [{ plots: 0 }, 'no-plots'],
      [{ flatFraction: -0.01 }, 'fraction-outside-0-to-1'],
      [{ flatFraction: 1.01 }, 'fraction-outside-0-to-1'],
    ] as const)
      expect(() => proposed(wrong)).toThrow(code)
  })
})

it('decimals keep their digits, the lesser of two, and round a half up', () => {
  expect([decimal(0.1), decimal(1e-7), decimal(1e21), decimal(2.5e22)]).toEqual([
    { digits: 1n, scale: 1 },
    { digits: 1n, scale: 7 },
    { digits: 10n ** 21n, scale: 0 },
    { digits: 25n * 10n ** 21n, scale: 0 },
  ])
  expect([least(decimal(0.3), decimal(0.25)), least(decimal(0.25), decimal(0.3))]).toEqual([
    decimal(0.25),
    decimal(0.25),
  ])
  expect(
    [
      [5, 2],
      [4.99, 2],
      [0, 3],
      [7, 2.5],
    ].map(([a, b]) => quotientHalfUp(decimal(a!), decimal(b!))),
  ).toEqual([3n, 2n, 0n, 3n])
  for (const [a, b] of [
    [-1, 2],
    [1, 0],
    [1, -2],
  ])
    expect(() => quotientHalfUp(decimal(a!), decimal(b!))).toThrow(RangeError)
  expect(() => decimal(Number.NaN)).toThrow(RangeError)
})
