import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { addDays } from '../../../domain/calendar.ts'
import { referenceEvapotranspirationMm, type WeeklyNeedInput, weeklyNeed } from '../../../domain/crops/index.ts'
import { InputError } from '../../../domain/input-error.ts'
import { daysBefore, plan } from '../plot.ts'

const WEEK = '2026-03-23' // day 82 of the tomato: the middle of its season
const drip = { low: 0.75, likely: 0.85, high: 0.9 }
const base: WeeklyNeedInput = {
  ...{ plan: plan(), weekStartsOn: WEEK, days: daysBefore(WEEK, 14), availableMmPerM: 130, efficiency: drip },
}
const known = (input: Partial<WeeklyNeedInput> = {}) => {
  const need = weeklyNeed({ ...base, ...input })
  if (!need.known) throw new Error(`cannot say: ${need.reasons.map((reason) => reason.code).join(' ')}`)
  return need
}

describe('the week of a tomato plot in mid-season', () => {
  it('needs seven days of 1.15 x 5 mm over 500 m2 at 85 per cent', () => {
    const need = known()
    expect(need.netMm).toBeCloseTo(7 * 1.15 * 5, 10)
    expect(need.grossM3.likely).toBeCloseTo((40.25 * 500) / 1000 / 0.85, 10)
    expect(need).toMatchObject({ stage: 'mid-season', working: { expected: { from: 'past-7-days', daysUsed: 7 } } })
  })

  it('comes as a range of at least a quarter each way, in whole cans that enclose it', () => {
    const { grossM3, jerrycans } = known({ days: daysBefore(WEEK, 7, { etoErrorFraction: 0 }) })
    expect(grossM3.low).toBeLessThanOrEqual(grossM3.likely * 0.75)
    expect(grossM3.high).toBeGreaterThanOrEqual(grossM3.likely * 1.25)
    expect(jerrycans.low).toBeLessThanOrEqual(grossM3.low * 50)
    expect(jerrycans.high).toBeGreaterThanOrEqual(grossM3.high * 50)
  })

  it('combines the errors of coefficient, demand and efficiency as the root of squares', () => {
    const { grossM3 } = known()
    const likelyMm = 40.25 / 0.85
    const error = Math.hypot(0.15, 0.2) * likelyMm
    expect(grossM3.high).toBeCloseTo((likelyMm + Math.hypot(error, 40.25 / 0.75 - likelyMm)) / 2, 10)
    expect(grossM3.low).toBeCloseTo((likelyMm - Math.hypot(error, likelyMm - 40.25 / 0.9)) / 2, 10)
  })

  it('counts nothing of a shower under 5 mm and three quarters of a storm', () => {
    const showers = daysBefore(WEEK, 7, { rainMm: 4.9 })
    expect(known({ days: showers }).working.creditedRainMm).toBe(0)
    const storm = daysBefore(WEEK, 7).map((day, index) => (index === 3 ? { ...day, rainMm: 20 } : day))
    expect(known({ days: storm }).netMm).toBeCloseTo(40.25 - 15, 10)
  })

  it('credits no more rain than the root zone holds', () => {
    const flood = daysBefore(WEEK, 7, { rainMm: 70 })
    const need = known({ days: flood })
    expect(need.working.creditedRainMm).toBeCloseTo(130 * 0.7, 10)
    expect(need).toMatchObject({ netMm: 0, grossM3: { low: 0, likely: 0 } })
  })

  it('keeps a high side where rain only just covers the likely use', () => {
    const days = daysBefore(WEEK, 7).map((day, index) => (index < 2 ? { ...day, rainMm: 27 } : day))
    const { grossM3 } = known({ days })
    expect(grossM3.likely).toBe(0)
    expect(grossM3.high).toBeGreaterThan(0)
  })
})

describe('the edges of the season', () => {
  it.each([
    ['before sowing', { plantedOn: addDays(WEEK, 7) }],
    ['after the last stage', { plantedOn: addDays(WEEK, -135) }],
    ['after an early harvest', { harvestedOn: addDays(WEEK, -1) }],
  ])('needs nothing %s, whatever the weather book lacks', (_when, change) => {
    const need = known({ plan: plan(change), days: [] })
    expect(need).toMatchObject({ netMm: 0, kc: 0, stage: null, grossM3: { low: 0, likely: 0, high: 0 } })
  })

  it('counts only the days that the crop stands in a week that it enters', () => {
    const need = known({ plan: plan({ plantedOn: addDays(WEEK, 5) }) })
    expect(need.working.days).toHaveLength(2)
    expect(need.netMm).toBeCloseTo(2 * 0.6 * 5, 10)
  })

  it('refuses an area of nothing and a harvest before planting', () => {
    expect(() => known({ plan: plan({ areaM2: 0 }) })).toThrow(InputError)
    expect(() => known({ plan: plan({ harvestedOn: '2025-12-31' }) })).toThrow('harvest-before-planting')
  })
})

describe('a weather book with holes', () => {
  it('falls back on the measured days of a fortnight, says so and widens', () => {
    const days = daysBefore(WEEK, 14).map((day, index) => (index > 8 ? { ...day, etoMm: null } : day))
    const need = known({ days })
    expect(need.working.expected).toMatchObject({ from: 'past-14-days', daysUsed: 9 })
    expect(need.working.assumptions[0]!.code).toBe('demand-from-past-14-days')
    expect(need.working.errors.etoFraction).toBeGreaterThan(0.2)
  })

  it('cannot say with three measured days and no month table, nor without rain figures', () => {
    const days = daysBefore(WEEK, 3)
    const need = weeklyNeed({ ...base, days })
    expect(need).toMatchObject({
      known: false,
      reasons: [{ code: 'too-few-days-of-weather' }, { code: 'rain-not-measured', values: { days: 4 } }],
    })
  })

  it('takes the month table where there is no thermometer, with a wider doubt', () => {
    const monthTableMmPerDay = [4, 4, 5, 5, 5, 5, 5, 5, 5, 5, 5, 4]
    const need = known({ days: [], monthTableMmPerDay, missingRain: 'counts-nothing' })
    expect(need.netMm).toBeCloseTo(40.25, 10)
    expect(need.working.assumptions.map((one) => one.code)).toEqual([
      'demand-from-month-table',
      'missing-rain-counts-nothing',
    ])
    expect(need.working.errors).toMatchObject({ etoFraction: 0.3, missingRainFraction: 0.15 })
  })

  it('widens where nobody measured the rain', () => {
    const measured = known().grossM3
    const missing = known({ days: daysBefore(WEEK, 7, { rainMm: null }), missingRain: 'counts-nothing' }).grossM3
    expect(missing.likely).toBe(measured.likely)
    expect(missing.low).toBeLessThan(measured.low)
    expect(missing.high).toBeGreaterThan(measured.high)
  })

  it('refuses a month table of eleven values, a soil that holds nothing and a rain rule above the rain', () => {
    expect(() => known({ days: [], monthTableMmPerDay: new Array(11).fill(5) })).toThrow('month-table-wrong')
    expect(() => known({ availableMmPerM: 0 })).toThrow('soil-holds-nothing')
    expect(() => known({ rainRule: { thresholdMm: 5, fraction: 1.2 } })).toThrow('rain-rule-outside')
    expect(() => known({ efficiency: { low: 0, likely: 0.5, high: 0.9 } })).toThrow('efficiency-outside')
  })
})

describe('properties', () => {
  const rain = fc.array(fc.double({ min: 0, max: 60, noNaN: true }), { minLength: 7, maxLength: 7 })
  const withRain = (millimetres: number[]) =>
    daysBefore(WEEK, 7).map((day, index) => ({ ...day, rainMm: millimetres[index]! }))

  it('more rain in the same showers never raises the need, nor either end of its range', () => {
    fc.assert(
      fc.property(rain, fc.double({ min: 1, max: 3, noNaN: true }), (millimetres, factor) => {
        const less = known({ days: withRain(millimetres) })
        const more = known({ days: withRain(millimetres.map((value) => value * factor)) })
        expect(more.netMm).toBeLessThanOrEqual(less.netMm + 1e-9)
        for (const end of ['low', 'likely', 'high'] as const) {
          expect(more.grossM3[end]).toBeLessThanOrEqual(less.grossM3[end] + 1e-9)
        }
      }),
    )
  })

  it('low, likely and high keep their order', () => {
    fc.assert(
      fc.property(rain, fc.integer({ min: -10, max: 160 }), (millimetres, age) => {
        const { grossM3 } = known({ days: withRain(millimetres), plan: plan({ plantedOn: addDays(WEEK, -age) }) })
        expect(grossM3.low).toBeGreaterThanOrEqual(0)
        expect(grossM3.likely).toBeGreaterThanOrEqual(grossM3.low)
        expect(grossM3.high).toBeGreaterThanOrEqual(grossM3.likely)
      }),
    )
  })

  it('is zero on every week wholly before sowing or after harvest', () => {
    fc.assert(
      fc.property(fc.integer({ min: 0, max: 300 }), (gap) => {
        expect(known({ plan: plan({ plantedOn: addDays(WEEK, 7 + gap) }) }).netMm).toBe(0)
        expect(known({ plan: plan({ plantedOn: addDays(WEEK, -135 - gap) }) }).netMm).toBe(0)
      }),
    )
  })

  // The farmed belt in its growing weather. In a damp polar winter, with net radiation near or below zero, the published
  // equation itself may fall as the maximum rises: more warmth is radiated away.
  const weather = fc.record({
    latitudeDeg: fc.double({ min: -40, max: 40, noNaN: true }),
    tminC: fc.double({ min: 5, max: 28, noNaN: true }),
    rangeC: fc.double({ min: 1, max: 20, noNaN: true }),
    warmerC: fc.double({ min: 0, max: 6, noNaN: true }),
    windMPerS: fc.double({ min: 0, max: 8, noNaN: true }),
    sunPart: fc.double({ min: 0, max: 1, noNaN: true }),
    rhMinPct: fc.double({ min: 10, max: 80, noNaN: true }),
    onlyTemperatures: fc.boolean(),
  })

  it('raising only the highest temperature never lowers the need, all else measured and the coefficient fixed', () => {
    fc.assert(
      fc.property(weather, (day) => {
        const needAt = (tmaxC: number) => {
          const rest = {
            windMPerS: day.windMPerS,
            radiationMjM2: 20 * day.sunPart,
            rhMinPct: day.rhMinPct,
            rhMaxPct: 90,
          }
          const measured = { tmaxC, tminC: day.tminC, ...(day.onlyTemperatures ? {} : rest) }
          const place = { latitudeDeg: day.latitudeDeg, elevationM: 900, date: '2026-03-22' }
          const { etoMm } = referenceEvapotranspirationMm({ ...place, day: measured })
          return known({ days: daysBefore(WEEK, 7, { etoMm }) }).netMm
        }
        const tmaxC = day.tminC + day.rangeC
        expect(needAt(tmaxC + day.warmerC)).toBeGreaterThanOrEqual(needAt(tmaxC) - 1e-9)
      }),
      { numRuns: 2000 },
    )
  })
})
