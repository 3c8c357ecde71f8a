import { describe, expect, it } from 'vitest'
import { InputError } from '../../../domain/input-error.ts'
import { windAt2M } from '../../../domain/water/weather/air.ts'
import type { DayWeather } from '../../../domain/water/weather/day-weather.ts'
import { vapourPressureOfBulbsKpa } from '../../../domain/water/weather/humidity.ts'
import { localHargreavesFactor } from '../../../domain/water/weather/local-factor.ts'
import { referenceEvapotranspirationMm } from '../../../domain/water/weather/reference-evapotranspiration.ts'
import { daylightHours } from '../../../domain/water/weather/sun.ts'

const place = { latitudeDeg: -1.5, elevationM: 1000, date: '2026-02-10' }
const warm = { tmaxC: 31, tminC: 17 }
const eto = (day: DayWeather, change: object = {}) => referenceEvapotranspirationMm({ ...place, day, ...change })

describe('what was measured and what was estimated', () => {
  it('is told for each day, and the likely error shrinks with every measurement', () => {
    const measured = { ...warm, rhMeanPct: 50, windMPerS: 2, sunHours: 8 }
    expect(eto(measured)).toMatchObject({ method: 'penman-monteith', estimated: [] })
    const { windMPerS: _wind, ...calmless } = measured
    expect(eto(calmless).estimated).toEqual(['wind'])
    expect(eto(warm).method).toBe('hargreaves')
    const errors = [measured, calmless, { ...warm, sunHours: 8 }, warm].map((day) => eto(day).errorFraction)
    expect([...errors].sort((a, b) => a - b)).toEqual(errors)
  })

  it('takes the two bulbs of a psychrometer as the vapour pressure that they tell, and asks back for one bulb alone', () => {
    const bulbs = { dryBulbC: 25.6, wetBulbC: 19.5, psychrometer: 'whirled' as const }
    const vapourPressureKpa = vapourPressureOfBulbsKpa({ ...bulbs, elevationM: place.elevationM })
    expect(eto({ ...warm, ...bulbs })).toEqual(eto({ ...warm, vapourPressureKpa }))
    expect(eto({ ...warm, ...bulbs }).estimated).toEqual(['wind', 'radiation'])
    for (const one of [{ dryBulbC: 25.6 }, { wetBulbC: 19.5 }])
      expect(() => eto({ ...warm, ...one })).toThrow(new InputError('bulb-alone'))
    expect(eto({ ...warm, ...bulbs, dewPointC: 12 })).toEqual(eto({ ...warm, dewPointC: 12 }))
  })

  it('brings wind to 2 m from a tenth of a metre up, and from no lower', () => {
    // 4.87 / ln(67.8 · 0.1 − 5.42) = 4.87 / 0.3075 (FAO-56, equation 47).
    expect(windAt2M({ windMPerS: 1, heightM: 0.1 })).toBeCloseTo(15.84, 2)
    expect(windAt2M({ windMPerS: 1, heightM: 0.099 })).toBeNull()
  })

  it('applies a factor from a better local record, and is surer of it', () => {
    const plain = eto(warm)
    const checked = eto(warm, { hargreavesFactor: 0.9 })
    expect(checked.etoMm).toBeCloseTo(0.9 * plain.etoMm, 12)
    expect(checked.errorFraction).toBeLessThan(plain.errorFraction)
  })

  it('finds that factor from days known by both methods', () => {
    const days = [6, 4, 6, 4, 6, 4, 6, 4, 6, 4].map((hargreavesMm, at) => {
      return { date: `2026-06-0${at}`, hargreavesMm, betterMm: hargreavesMm === 6 ? 5 : 4 }
    })
    expect(localHargreavesFactor(days)).toBeCloseTo(0.9, 12)
    expect(localHargreavesFactor(days.slice(1))).toBeNull()
  })

  it('takes the dew point before the relative humidity, and the coast to be sunnier for its range', () => {
    const damp = eto({ ...warm, dewPointC: 17, rhMeanPct: 10 })
    expect(damp.etoMm).toBe(eto({ ...warm, dewPointC: 17 }).etoMm)
    expect(eto({ ...warm, windMPerS: 2 }, { coastal: true }).etoMm).toBeGreaterThan(
      eto({ ...warm, windMPerS: 2 }).etoMm,
    )
  })

  it('guesses drier air in a dry climate', () => {
    expect(eto({ ...warm, sunHours: 8 }, { aridityC: 3 }).etoMm).toBeGreaterThan(eto({ ...warm, sunHours: 8 }).etoMm)
  })
})

describe('impossible weather', () => {
  it.each([
    ['weather-outside', { ...warm, rhMeanPct: 140 }, {}],
    ['weather-outside', { ...warm, windMPerS: -1 }, {}],
    ['weather-outside', { tmaxC: Number.NaN, tminC: 17 }, {}],
    ['tmin-above-tmax', { tmaxC: 15, tminC: 17 }, {}],
    ['rhmin-above-rhmax', { ...warm, rhMinPct: 80, rhMaxPct: 60 }, {}],
    ['sun-hours-above-daylight', { ...warm, sunHours: 15 }, {}],
    ['radiation-above-the-sun', { ...warm, radiationMjM2: 49 }, {}],
    ['latitude-outside', warm, { latitudeDeg: 95 }],
    ['sun-does-not-rise', { tmaxC: 1, tminC: -3 }, { latitudeDeg: 80, date: '2026-12-21' }],
  ] as const)('is refused as %s', (code, day, change) => {
    const refused = () => eto(day, change)
    expect(refused).toThrow(InputError)
    expect(refused).toThrow(code)
  })

  it('has no wind profile below ten centimetres', () => {
    expect(windAt2M({ windMPerS: 3, heightM: 0.05 })).toBeNull()
  })
})

it('has a day of twelve hours on the equator all year, none in the polar night, all of it under the midnight sun', () => {
  for (const date of ['2026-01-15', '2026-06-21', '2026-10-01']) {
    expect(daylightHours({ latitudeDeg: 0, date })).toBeCloseTo(12, 12)
  }
  expect(daylightHours({ latitudeDeg: 80, date: '2026-12-21' })).toBe(0)
  expect(daylightHours({ latitudeDeg: 80, date: '2026-06-21' })).toBe(24)
})
