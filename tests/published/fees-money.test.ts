import { describe, expect, it } from 'vitest'
import { charge } from '../../domain/fees/charge/charge.ts'
import { moneyIndicators } from '../../domain/fees/reconcile/indicators.ts'
import type { Tariff } from '../../domain/fees/tariff/tariff.ts'
import { apportion } from '../../domain/money/apportion.ts'
import { currencyExponent, formatMoney } from '../../domain/money/money.ts'

/** ISO 4217 list one, published 2024-06-25 by the maintenance agency: every currency by its decimals, funds left out. */
const LIST_ONE: [decimals: number, codes: string][] = [
  [
    0,
    `
      BIF CLP DJF GNF ISK JPY KMF KRW PYG RWF UGX VND VUV XAF XOF XPF`,
  ],
  [
    2,
    `
      AED AFN ALL AMD ANG AOA ARS AUD AWG AZN BAM BBD BDT BGN BMD BND BOB BRL BSD BTN BWP BYN BZD CAD CDF CHF CNY
      COP CRC CUC CUP CVE CZK DKK DOP DZD EGP ERN ETB EUR FJD FKP GBP GEL GHS GIP GMD GTQ GYD HKD HNL HTG HUF IDR
      ILS INR IRR JMD KES KGS KHR KPW KYD KZT LAK LBP LKR LRD LSL MAD MDL MGA MKD MMK MNT MOP MRU MUR MVR MWK MXN
      MYR MZN NAD NGN NIO NOK NPR NZD PAB PEN PGK PHP PKR PLN QAR RON RSD RUB SAR SBD SCR SDG SEK SGD SHP SLE SOS
      SRD SSP STN SVC SYP SZL THB TJS TMT TOP TRY TTD TWD TZS UAH USD UYU UZS VED VES WST XCD YER ZAR ZMW ZWG`,
  ],
  [
    3,
    `
      BHD IQD JOD KWD LYD OMR TND`,
  ],
]

/**
 * Unicode's CLDR, on which the run-time's Intl rests, follows everyday use and drops the decimals of these currencies.
 * ISO 4217 keeps them, and the book follows the standard.
 */
const CLDR_DROPS = 'AFN ALL COP HUF IDR IQD IRR KPW LAK LBP MGA MMK PKR SLL SOS SYP YER'.split(' ')

describe('currencies', () => {
  it('have the decimals of ISO 4217 list one, all of them', () => {
    const known = new Set(Intl.supportedValuesOf('currency'))
    const unknown: string[] = []
    for (const [decimals, codes] of LIST_ONE) {
      for (const currency of codes.trim().split(/\s+/)) {
        if (!known.has(currency)) unknown.push(currency)
        else expect([currency, currencyExponent(currency)]).toEqual([currency, decimals])
      }
    }
    // A currency of book-keeping only, which no run-time offers.
    expect(unknown).toEqual(['VED'])
  })

  it('have the decimals that Intl gives, except where everyday use differs from ISO 4217', () => {
    const codes = Intl.supportedValuesOf('currency')
    const differing = codes.filter((currency) => {
      const { maximumFractionDigits } = new Intl.NumberFormat('en', { style: 'currency', currency }).resolvedOptions()
      return maximumFractionDigits !== currencyExponent(currency)
    })
    expect(codes.length).toBeGreaterThan(150)
    expect(differing).toEqual(CLDR_DROPS)
  })

  it.each(['JPY', 'KES', 'TND', 'EUR', 'UGX'])('%s is shown as Intl shows it', (currency) => {
    const byIntl = (locale: string, amount: number) =>
      new Intl.NumberFormat(locale, { style: 'currency', currency, currencyDisplay: 'code' }).format(amount)
    for (const locale of ['en', 'fr', 'de', 'sw', 'pt']) {
      const amountMinor = 1_234_500
      const amount = amountMinor / 10 ** currencyExponent(currency)
      expect(formatMoney({ amountMinor, currency, locale })).toBe(byIntl(locale, amount))
    }
  })
})

describe('largest remainders', () => {
  // Apportionment of 120 seats of the United States House by Hamilton's bill of 1792, on the census of 1790.
  // Source: Balinski and Young, Fair Representation (1982), chapter 2 and the table of the first apportionment (status: memory). Exact.
  it('share 120 seats among fifteen states as Hamilton did', () => {
    const states: [name: string, population: number, seats: number][] = [
      ['Connecticut', 236_841, 8],
      ['Delaware', 55_540, 2],
      ['Georgia', 70_835, 2],
      ['Kentucky', 68_705, 2],
      ['Maryland', 278_514, 9],
      ['Massachusetts', 475_327, 16],
      ['New Hampshire', 141_822, 5],
      ['New Jersey', 179_570, 6],
      ['New York', 331_589, 11],
      ['North Carolina', 353_523, 12],
      ['Pennsylvania', 432_879, 14],
      ['Rhode Island', 68_446, 2],
      ['South Carolina', 206_236, 7],
      ['Vermont', 85_533, 3],
      ['Virginia', 630_560, 21],
    ]
    const weights = states.map(([, population]) => population)
    expect(weights.reduce((all, population) => all + population, 0)).toBe(3_615_920)
    expect(apportion({ totalMinor: 120, weights })).toEqual(states.map(([, , seats]) => seats))
  })

  // The customary textbook table for the Hare quota: 100 000 votes, 10 seats (status: memory). Exact.
  it('share ten seats among six lists by the Hare quota', () => {
    const weights = [47_000, 16_000, 15_900, 12_000, 6000, 3100]
    expect(apportion({ totalMinor: 10, weights })).toEqual([5, 2, 1, 1, 1, 0])
  })
})

describe('fee bases (FAO Water Reports 28, 2004, annex: area, volume with one price or rising blocks, two-part)', () => {
  const bill = (parts: Tariff['parts'], volumeM3: number, areaM2: number, pumpHours = 0) =>
    charge({
      tariffs: [{ id: 't', from: '2031-01-01', payerClass: null, parts }],
      abstractions: [{ id: 'a', on: '2031-07-10', volumeM3, pumpHours, grade: 'measured' }],
      payer: { payerClass: null, areaM2 },
      period: { from: '2031-07-01', to: '2031-07-31' },
      seasonStartsOn: '2031-07-01',
    }).totalMinor

  // Hand-worked: 400 x 0.35 ha + 1.2 x 220 m3 = 404.0; in hundredths 40 400. Exact.
  it('bill 404 for two parts', () => {
    const fixed = { kind: 'per-hectare', priceMinor: 40_000, every: 'season' } as const
    const byVolume = { kind: 'per-m3', blocks: [{ upToM3: null, priceMinor: 120 }] } as const
    expect(bill([fixed, byVolume], 220, 3500)).toBe(40_400)
  })

  // Hand-worked: 100 x 1.0 + 100 x 1.5 + 30 x 2.5 = 325.0; in hundredths 32 500. Exact.
  it('bill 325 for 230 m3 in rising blocks', () => {
    const blocks = [
      { upToM3: 100, priceMinor: 100 },
      { upToM3: 200, priceMinor: 150 },
      { upToM3: null, priceMinor: 250 },
    ]
    expect(bill([{ kind: 'per-m3', blocks }], 230, 0)).toBe(32_500)
  })

  // Hand-worked: 3.25 pump hours x 60 = 195; in hundredths 19 500. Exact.
  it('bill 195 for 3.25 pump hours', () => {
    expect(bill([{ kind: 'per-pump-hour', priceMinor: 6000 }], 17.3, 0, 3.25)).toBe(19_500)
  })
})

describe('money indicators (Malano and Burton 2001; Bos, Burton and Molden 2005)', () => {
  // Hand-worked: 71 400 / 84 000 = 0.85; 71 400 / 90 000 = 0.7933333; 84 000 - 71 400 = 12 600. Tolerance 1e-7.
  it('give collection 0.85, cost recovery 0.7933 and arrears 12 600', () => {
    const shown = moneyIndicators({ billedMinor: 84_000, collectedMinor: 71_400, costsMinor: 90_000 })
    expect(shown.collectionRatio).toBeCloseTo(0.85, 7)
    expect(shown.costRecoveryRatio).toBeCloseTo(0.7933333, 7)
    expect(shown.arrearsMinor).toBe(12_600)
    expect(shown.costPerM3Minor).toBeNull()
  })
})
