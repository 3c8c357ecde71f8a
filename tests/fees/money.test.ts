import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { InputError } from '../../domain/input-error.ts'
import { apportion } from '../../domain/money/apportion.ts'
import { decimal, quotientHalfUp, ZERO } from '../../domain/money/decimal.ts'
import { currencyExponent, formatMoney, minor, moneyText } from '../../domain/money/money.ts'
import { parseMoney } from '../../domain/money/parse.ts'

const codeOf = (run: () => unknown): string => {
  try {
    run()
  } catch (error) {
    if (error instanceof InputError) return error.code
    throw error
  }
  return 'accepted'
}

describe('an amount that is typed', () => {
  it.each([
    ['12', 'KES', 1200],
    ['12.5', 'KES', 1250],
    ['12,50', 'KES', 1250],
    ['0.07', 'KES', 7],
    ['1,234', 'KES', 123_400],
    ['1.234', 'KES', 123_400],
    ['1,234.50', 'KES', 123_450],
    ['1.234,50', 'KES', 123_450],
    ['1 234,50', 'KES', 123_450],
    ['1 234 567', 'KES', 123_456_700],
    ["1'234.50", 'KES', 123_450],
    ['KES 5', 'KES', 500],
    ['1,234,567', 'KES', 123_456_700],
    ['0,500', 'TND', 500],
    ['1.5', 'TND', 1500],
    ['12,345', 'TND', 12_345],
    ['1,234.500', 'TND', 1_234_500],
    ['1,234', 'UGX', 1234],
    ['250', 'JPY', 250],
  ])('%s in %s is %s minor units', (text, currency, amountMinor) => {
    expect(parseMoney({ text, currency })).toBe(amountMinor)
  })

  it.each([
    ['', 'KES', 'money-not-understood'],
    ['twelve', 'KES', 'money-not-understood'],
    ['1,23,4', 'KES', 'money-not-understood'],
    ['1.2.3,4', 'KES', 'money-not-understood'],
    ['12.', 'KES', 'money-not-understood'],
    ['.5', 'KES', 'money-not-understood'],
    ['USD 5', 'KES', 'money-not-understood'],
    ['-5', 'KES', 'money-negative'],
    ['1.2345', 'KES', 'money-too-many-decimals'],
    ['1.5', 'UGX', 'money-too-many-decimals'],
    ['99999999999999999', 'KES', 'money-too-large'],
    ['5', 'QQQ', 'currency-unknown'],
  ])('%s in %s is asked again: %s', (text, currency, code) => {
    expect(codeOf(() => parseMoney({ text, currency }))).toBe(code)
  })

  it('comes back as it was written, in every currency and up to the largest amount', () => {
    const amount = fc.integer({ min: 0, max: Number.MAX_SAFE_INTEGER })
    const currency = fc.constantFrom('JPY', 'KES', 'TND')
    fc.assert(
      fc.property(amount, currency, (amountMinor, code) => {
        const text = moneyText({ amountMinor, currency: code })
        expect(parseMoney({ text, currency: code })).toBe(amountMinor)
        expect(parseMoney({ text: text.replace('.', ','), currency: code })).toBe(amountMinor)
      }),
    )
  })
})

describe('an amount that is shown', () => {
  it('keeps every unit of a large amount', () => {
    expect(formatMoney({ amountMinor: 9_007_199_254_740_991, currency: 'KES' })).toBe('KES\u00a090,071,992,547,409.91')
    expect(formatMoney({ amountMinor: -5, currency: 'KES' })).toBe('-KES\u00a00.05')
    expect(formatMoney({ amountMinor: 123_450, currency: 'EUR', locale: 'de' })).toBe('1.234,50\u00a0EUR')
    expect(moneyText({ amountMinor: 7, currency: 'TND' })).toBe('0.007')
    expect(moneyText({ amountMinor: 0, currency: 'KES' })).toBe('0.00')
  })

  it('is never a fraction of a minor unit', () => {
    expect(() => minor(0.5)).toThrow(RangeError)
    expect(() => minor(2 ** 53)).toThrow(RangeError)
    expect(Object.is(minor(-0), 0)).toBe(true)
    expect(currencyExponent('KES')).toBe(2)
  })
})

describe('a split amount', () => {
  const weights = fc.array(fc.double({ min: 0, max: 1e6, noNaN: true }), { minLength: 1, maxLength: 60 })
  const total = fc.integer({ min: -1_000_000_000, max: 1_000_000_000 })

  it('sums to its total and strays less than one unit from each quota', () => {
    fc.assert(
      fc.property(total, weights, (totalMinor, shares) => {
        const sum = shares.reduce((all, share) => all + share, 0)
        fc.pre(sum > 1e-3)
        const parts = apportion({ totalMinor, weights: shares })
        expect(parts.reduce((all, part) => all + part, 0)).toBe(totalMinor)
        parts.forEach((part, at) => {
          expect(Math.abs(part - (totalMinor * shares[at]!) / sum)).toBeLessThan(1 + 1e-3)
        })
      }),
    )
  })

  it('gives spare units one by one to the largest remainder left, the first of equals, however many share', () => {
    const whole = fc.array(fc.integer({ min: 0, max: 3 }), { minLength: 1, maxLength: 120 })
    fc.assert(
      fc.property(fc.nat(500), whole, (totalMinor, shares) => {
        const sum = shares.reduce((all, share) => all + share, 0)
        fc.pre(sum > 0)
        const parts = shares.map((share) => Math.floor((totalMinor * share) / sum))
        const rests = shares.map((share) => (totalMinor * share) % sum)
        for (let spare = totalMinor - parts.reduce((all, part) => all + part, 0); spare > 0; spare--) {
          const at = rests.indexOf(Math.max(...rests))
          parts[at]!++
          rests[at] = -1
        }
        expect(apportion({ totalMinor, weights: shares })).toEqual(parts)
      }),
    )
  })

  it('gives the spare unit to the first of equals, and nothing to a weight of nothing', () => {
    expect(apportion({ totalMinor: 100, weights: [1, 1, 1] })).toEqual([34, 33, 33])
    expect(apportion({ totalMinor: -100, weights: [1, 1, 1] })).toEqual([-34, -33, -33])
    expect(apportion({ totalMinor: 5, weights: [0, 0.1, 0.2] })).toEqual([0, 2, 3])
    expect(codeOf(() => apportion({ totalMinor: 5, weights: [0, 0] }))).toBe('no-weight-to-share-by')
    expect(() => apportion({ totalMinor: 5, weights: [-1, 2] })).toThrow(RangeError)
  })
})

it('an exact decimal is the number as it is written, and is divided by nothing never', () => {
  const written = [0, 7, 0.1, 12.5, 120, 1e-7, 1.25e-9, 2.5e21, 3e22]
  const texts = [
    '0',
    '7',
    '0.1',
    '12.5',
    '120',
    '0.0000001',
    '0.00000000125',
    '2500000000000000000000',
    `3${'0'.repeat(22)}`,
  ]
  expect(
    written.map(decimal).map(({ digits, scale }) => {
      const text = String(digits).padStart(scale + 1, '0')
      return scale ? `${text.slice(0, -scale)}.${text.slice(-scale)}` : text
    }),
  ).toEqual(texts)
  expect(() => quotientHalfUp(decimal(1), ZERO)).toThrow('zero or more')
  expect([0.5, 1.4, 1.5, 2].map((value) => quotientHalfUp(decimal(value), decimal(1)))).toEqual([1n, 1n, 2n, 2n])
})
