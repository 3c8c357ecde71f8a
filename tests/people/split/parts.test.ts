import fc from 'fast-check'
import { expect, it } from 'vitest'
import { partsTyped, splitPlot, splitWish } from '../../../domain/people/split.ts'

it('parts that are typed are what each is of all of them, with whatever stands between', () => {
  for (const typed of ['60/40', '600 400', '3:2', '1,5;1', '60%/40%']) expect(partsTyped(typed, 2)).toEqual([0.6, 0.4])
  expect(partsTyped('1/2/5', 3)).toEqual([0.125, 0.25, 0.625])
  expect(partsTyped('7', 1)).toEqual([1])
  expect(partsTyped('999999999/999999999', 2)).toEqual([0.5, 0.5])
})

it('parts are none where one is missing, too many, nothing, less, no number or beyond all measure', () => {
  for (const typed of ['60', '60/40/1', '60/0', '0/60', '-1/2', '60/', '60/half', '1000000000/1', '']) {
    expect(partsTyped(typed, 2), typed).toBeNull()
  }
})

it('a plot in two has all its shares and its area between both, and may give all its shares away but never all its area', () => {
  fc.assert(
    fc.property(
      fc.integer({ min: 2, max: 9999 }),
      fc.nat(900),
      fc.double({ min: 0.01, max: 0.99, noNaN: true }),
      (areaM2, hundredths, part) => {
        const partM2 = Math.max(1, Math.floor(areaM2 * part))
        fc.pre(partM2 < areaM2)
        const { stays, goes } = splitPlot({ areaM2, shares: hundredths / 100 }, { areaM2: partM2, shares: null })
        expect(stays.areaM2 + goes.areaM2).toBe(areaM2)
        expect(Math.round(100 * (stays.shares + goes.shares))).toBe(hundredths)
        // By area, to the nearest hundredth of a share.
        expect(Math.abs(goes.shares - (hundredths * partM2) / areaM2 / 100)).toBeLessThanOrEqual(0.005 + 1e-9)
      },
    ),
  )
  const named = (shares: number) => splitPlot({ areaM2: 100, shares: 2 }, { areaM2: 25, shares })
  expect(named(2)).toEqual({ stays: { areaM2: 75, shares: 0 }, goes: { areaM2: 25, shares: 2 } })
  expect(() => named(2.01)).toThrow('split-shares')
  expect(() => splitPlot({ areaM2: 100, shares: 2 }, { areaM2: 100, shares: 1 })).toThrow('split-whole')
})

it('a wish in two is by area and to the litre, and both together are the wish', () => {
  expect(splitWish(10, [1, 3])).toEqual([2.5, 7.5])
  expect(splitWish(1, [1, 2])).toEqual([0.333, 0.667])
})
