import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { splitFees } from '../../../domain/fees/charge/shared-fees.ts'
import type { ChargeLine } from '../../../domain/fees/charge/types.ts'
import { minor } from '../../../domain/money/money.ts'

const line = (quantity: number, change: Partial<ChargeLine> = {}): ChargeLine => ({
  abstractionId: null,
  on: '2031-03-01',
  tariffId: 'first',
  kind: 'per-share',
  quantity,
  unit: 'share',
  amountMinor: minor(0),
  estimated: false,
  ...change,
})

describe('fees by share', () => {
  it('sum to what all shares cost together, the coin left over going to the largest remainder', () => {
    // 3 shares at 5 are 15; a half each is 7.5 and 7.5, where rounding each alone would make 16.
    const fees = [1.5, 1.5].map((quantity) => ({ line: line(quantity), priceMinor: 5 }))
    expect(splitFees({ fees })).toEqual([
      { amountMinor: 8, togetherQuantity: 3, togetherMinor: 15 },
      { amountMinor: 7, togetherQuantity: 3, togetherMinor: 15 },
    ])
    // 10 in all at 10: quotas 1.25, 2.5, 6.25 become 1, 3, 6.
    const uneven = [0.125, 0.25, 0.625].map((quantity) => ({ line: line(quantity), priceMinor: 10 }))
    expect(splitFees({ fees: uneven }).map(({ amountMinor }) => amountMinor)).toEqual([1, 3, 6])
  })

  it('are split apart by day, tariff, kind and price, and a flat fee is left as it is', () => {
    const flat = { line: line(1, { kind: 'flat', unit: 'month', amountMinor: minor(700) }), priceMinor: 700 }
    const fees = [
      { line: line(1.5), priceMinor: 5 },
      flat,
      { line: line(1.5, { on: '2031-04-01' }), priceMinor: 5 },
      { line: line(1.5, { tariffId: 'second' }), priceMinor: 5 },
      flat,
    ]
    expect(splitFees({ fees }).map(({ amountMinor }) => amountMinor)).toEqual([8, 700, 8, 8, 700])
  })

  it('always sum to the whole and stray less than one coin from price times shares', () => {
    const hundredths = fc.integer({ min: 1, max: 100_000 }).map((whole) => whole / 100)
    fc.assert(
      fc.property(fc.array(hundredths, { minLength: 1, maxLength: 40 }), fc.nat(100_000), (shares, priceMinor) => {
        const split = splitFees({ fees: shares.map((quantity) => ({ line: line(quantity), priceMinor })) })
        const sum = split.reduce((all, { amountMinor }) => all + amountMinor, 0)
        expect(sum).toBe(split[0]!.togetherMinor)
        split.forEach(({ amountMinor }, at) => {
          expect(Math.abs(amountMinor - priceMinor * shares[at]!)).toBeLessThan(1.51)
        })
      }),
    )
  })
})
