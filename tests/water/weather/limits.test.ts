import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { saturationVapourPressureKpa } from '../../../domain/water/weather/air.ts'
import { clearSkyWPerM2ByHour } from '../../../domain/water/weather/clear-sky-hour.ts'
import { checkDayWeather, type DayWeather } from '../../../domain/water/weather/day-weather.ts'
import { measuredVapourPressureKpa, vapourPressureOfBulbsKpa } from '../../../domain/water/weather/humidity.ts'
import { localHargreavesFactor } from '../../../domain/water/weather/local-factor.ts'
import { referenceEvapotranspirationMm } from '../../../domain/water/weather/reference-evapotranspiration.ts'
import { daylightHours, extraterrestrialRadiationMjM2 } from '../../../domain/water/weather/sun.ts'
import { dayDemand } from '../../../server/water/weather/state.ts'

const codeOf = (run: () => unknown) => {
  try {
    run()
  } catch (error) {
    return (error as { code?: string }).code
  }
  return 'taken'
}
const check = (day: Partial<DayWeather>) =>
  codeOf(() => checkDayWeather({ tmaxC: 30, tminC: 20, ...day } as DayWeather))

it('a day that stands in the book says nothing where the place was settled anew so that it cannot have been', () => {
  const unread = { rainMm: 0, windMPerS: null, rhMaxPct: null, rhMinPct: null, radiationMjM2: null }
  const day = { ...unread, onDate: '2026-06-21', tmaxC: 30, tminC: 16, sunHours: 15 } as never
  // The longest day has 12 hours at the equator, and 17 at 55 degrees.
  expect(dayDemand({ latitudeDeg: 55, elevationM: 100 }, day)).toMatchObject({ etoMm: expect.any(Number) })
  expect(dayDemand({ latitudeDeg: 0, elevationM: 100 }, day)).toBeNull()
  expect(dayDemand({ latitudeDeg: 0, elevationM: 100 }, { ...(day as object), tmaxC: null } as never)).toBeNull()
})

describe('the weather of a day', () => {
  it.each([
    ['vapourPressureKpa', 0, saturationVapourPressureKpa(30)],
    ['dewPointC', -60, 30],
    ['rhMaxPct', 0, 100],
    ['rhMinPct', 0, 100],
    ['rhMeanPct', 0, 100],
    ['windMPerS', 0, 60],
    ['windHeightM', 0.1, 100],
    ['sunHours', 0, 24],
    ['radiationMjM2', 0, 50],
  ] as const)('has its %s from %d to %d, both with it', (field, low, high) => {
    expect([check({ [field]: low }), check({ [field]: high })]).toEqual(['taken', 'taken'])
    expect(check({ [field]: low - 0.01 })).toBe('weather-outside')
    expect(check({ [field]: high + 0.01 })).not.toBe('taken')
    expect(check({ [field]: Number.NaN })).toBe('weather-outside')
  })

  it('may be as cold as it is warm, as damp at noon as at night, and no damper than its warmest hour can hold', () => {
    expect([check({ tminC: 30 }), check({ tminC: 30.1 })]).toEqual(['taken', 'tmin-above-tmax'])
    expect([check({ tmaxC: 60 }), check({ tmaxC: 60.1 }), check({ tminC: -60 })]).toEqual([
      'taken',
      'weather-outside',
      'taken',
    ])
    expect(check({ tmaxC: undefined })).toBe('weather-outside')
    const damp = (rhMinPct: number) => check({ rhMinPct, rhMaxPct: 70 })
    expect([damp(69), damp(70), damp(70.1)]).toEqual(['taken', 'taken', 'rhmin-above-rhmax'])
    expect(check({ dewPointC: 30.01 })).toBe('dew-point-above-heat')
    expect(check({ vapourPressureKpa: saturationVapourPressureKpa(30) + 0.001 })).toBe('vapour-above-saturation')
    expect([check({ dryBulbC: 25 }), check({ wetBulbC: 20 })]).toEqual(['bulb-alone', 'bulb-alone'])
  })
})

it('the vapour of air is that of FAO-56, example 5: from both humidities 1.70, from the highest 1.69, from the mean 1.78 kPa', () => {
  const air = { tmaxC: 25, tminC: 18 }
  const of = (more: object) => measuredVapourPressureKpa({ ...air, ...more })
  expect(of({ rhMaxPct: 82, rhMinPct: 54 })).toBeCloseTo(1.7, 2)
  expect(of({ rhMaxPct: 82 })).toBeCloseTo(1.69, 2)
  expect(of({ rhMeanPct: 68 })).toBeCloseTo(1.78, 2)
  expect([of({}), of({ rhMinPct: 54 })]).toEqual([null, null])
})

it('two bulbs may show the same, the wet one never more, and never so far apart that no vapour is left', () => {
  const bulbs = (dryBulbC: number, wetBulbC: number) =>
    vapourPressureOfBulbsKpa({ dryBulbC, wetBulbC, psychrometer: 'whirled', elevationM: 0 })
  expect(bulbs(20, 20)).toBeCloseTo(saturationVapourPressureKpa(20), 12)
  expect(() => bulbs(20, 20.1)).toThrow('wet-above-dry')
  expect(() => bulbs(50, 5)).toThrow('bulbs-too-far-apart')
})

it('no sun is stronger or longer than the sky has it, but for an hour of the recorder’s own', () => {
  const place = { latitudeDeg: -1.5, elevationM: 1000, date: '2026-02-10' }
  const eto = (day: object) =>
    codeOf(() => referenceEvapotranspirationMm({ ...place, day: { tmaxC: 30, tminC: 18, ...day } }))
  const mostMjM2 = extraterrestrialRadiationMjM2(place)
  expect([eto({ radiationMjM2: mostMjM2 }), eto({ radiationMjM2: mostMjM2 + 0.01 })]).toEqual([
    'taken',
    'radiation-above-the-sun',
  ])
  const longest = daylightHours(place)
  expect([eto({ sunHours: longest + 1 }), eto({ sunHours: longest + 1.01 })]).toEqual([
    'taken',
    'sun-hours-above-daylight',
  ])
  const at = (latitudeDeg: number) => codeOf(() => daylightHours({ latitudeDeg, date: '2026-02-10' }))
  expect([at(90), at(-90), at(90.1), at(-90.1)]).toEqual(['taken', 'taken', 'latitude-outside', 'latitude-outside'])
})

it('a factor of a place is fitted from ten days on, as the one sum over the other, and from no demand never', () => {
  const days = (count: number, hargreavesMm: number) =>
    Array.from({ length: count }, (_, at) => ({ hargreavesMm: hargreavesMm * (1 + (at % 2)), betterMm: 3 }))
  expect(localHargreavesFactor(days(10, 4) as never)).toBeCloseTo(30 / 60, 12)
  expect([localHargreavesFactor(days(9, 4) as never), localHargreavesFactor(days(10, 0) as never)]).toEqual([
    null,
    null,
  ])
})

it('the hours of a clear day add up to what the day has, wherever and whenever, through a night without dusk too', () => {
  fc.assert(
    fc.property(
      fc.double({ min: -89, max: 89, noNaN: true }),
      fc.integer({ min: 1, max: 12 }),
      (latitudeDeg, month) => {
        const place = { latitudeDeg, date: `2026-${String(month).padStart(2, '0')}-21` }
        const hours = clearSkyWPerM2ByHour({ ...place, elevationM: 500, longitudeDeg: 37, utcOffsetHours: 3 })
        const dayMjM2 = hours.reduce((sum, watts) => sum + (watts * 3600) / 1e6, 0)
        // FAO-56, equation 37: three quarters and two hundred-thousandths a metre of height.
        expect(dayMjM2).toBeCloseTo(0.76 * extraterrestrialRadiationMjM2(place), 6)
        expect(Math.min(...hours)).toBeGreaterThanOrEqual(0)
      },
    ),
  )
})
