import { expect, it } from 'vitest'
import { dayTrouble } from '../../../server/crops/weather/day-demand.ts'
import { READING_LIMITS } from '../../../server/crops/weather/reading-limits.ts'
import type { WeatherReading } from '../../../server/water/weather/store.ts'

const unread = Object.fromEntries([...Object.keys(READING_LIMITS), 'psychrometer'].map((field) => [field, null]))
const today = '2026-11-25'
const HELD = { place: { latitudeDeg: -1.5, elevationM: 1000 }, today, replaces: false, reason: null }
const toldOf = (read: Partial<WeatherReading>, more: Partial<Parameters<typeof dayTrouble>[0]> = {}) => {
  const reading = { ...unread, onDate: today, ...read } as unknown as WeatherReading
  const told = dayTrouble({ ...HELD, reading, ...more })
  return told && `${told.field} ${told.key.slice('crops.wrong.'.length)}`
}

const DAY = { tmaxC: 31, tminC: 17 }

/** Pairs of a day that cannot be, with the line that is shown for it, and the nearest one that can. */
const PAIRS: [cannotBe: Partial<WeatherReading>, told: string, canBe: Partial<WeatherReading>][] = [
  [{}, 'tmaxC nothing-read', { rainMm: 0 }],
  [{ rainMm: 4, onDate: '2026-11-26' }, 'onDate day-to-come', { rainMm: 4, onDate: '2026-11-25' }],
  [{ tmaxC: 20, tminC: 20 }, 'tminC cold-equals-heat', { tmaxC: 20, tminC: 19.9 }],
  [{ tmaxC: 20, tminC: 20.1 }, 'tminC tmin-above-tmax', { tmaxC: 20, tminC: null }],
  [{ ...DAY, windMPerS: 11 }, 'wind wind-gale', { ...DAY, windMPerS: 10.9 }],
  [{ ...DAY, rhMaxPct: 40, rhMinPct: 41 }, 'rhMinPct rhmin-above-rhmax', { ...DAY, rhMaxPct: 41, rhMinPct: 40 }],
  // At 1.5 degrees south no day of the year differs from twelve hours by more than some minutes; a recorder may run on a little.
  [{ ...DAY, sunHours: 13.5 }, 'sunHours sun-hours-above-daylight', { ...DAY, sunHours: 11.8 }],
  // The sun gives some 38 MJ on a square metre above the air near the equator in November.
  [{ ...DAY, radiationMjM2: 45 }, 'radiationMjM2 radiation-above-the-sun', { ...DAY, radiationMjM2: 25 }],
  [{ ...DAY, dewPointC: 32 }, 'dewPointC dew-point-above-heat', { ...DAY, dewPointC: 16 }],
  // Air of 31 °C is full at 4.5 kPa.
  [{ ...DAY, vapourPressureKpa: 4.7 }, 'vapourPressureKpa vapour-above-saturation', { ...DAY, vapourPressureKpa: 2 }],
  [{ ...DAY, dryBulbC: 24, wetBulbC: 24.1 }, 'wetBulbC wet-above-dry', { ...DAY, dryBulbC: 24, wetBulbC: 20 }],
  [{ ...DAY, dryBulbC: 24 }, 'wetBulbC bulb-alone', { ...DAY, dryBulbC: 24, wetBulbC: 23.9 }],
  [{ ...DAY, wetBulbC: 20 }, 'wetBulbC bulb-alone', { ...DAY }],
  [{ ...DAY, dryBulbC: 40, wetBulbC: 2 }, 'wetBulbC bulbs-too-far-apart', { ...DAY, dryBulbC: 30, wetBulbC: 20 }],
]

it.each(PAIRS)('a day of %j is shown what cannot be: %s; one of %j is written', (cannotBe, told, canBe) => {
  expect(toldOf(cannotBe)).toBe(told)
  expect(toldOf(canBe)).toBeNull()
})

it('a gale, and a day that is written already, are taken with a reason', () => {
  expect(toldOf({ ...DAY, windMPerS: 20 }, { reason: 'a storm' })).toBeNull()
  expect(toldOf(DAY, { replaces: true })).toBe('reason day-stands')
  expect(toldOf(DAY, { replaces: true, reason: 'misread' })).toBeNull()
})

it('each reading alone makes a day that can be written, but for a bulb alone', () => {
  const usual = {
    tmaxC: 31,
    tminC: 17,
    rainMm: 3,
    rhMaxPct: 80,
    rhMinPct: 40,
    windMPerS: 2,
    windHeightM: 2,
    dewPointC: 12,
    vapourPressureKpa: 1.4,
    sunHours: 8,
    radiationMjM2: 20,
  }
  for (const [field, value] of Object.entries(usual)) expect(toldOf({ [field]: value }), field).toBeNull()
  expect(Object.keys(usual).length + 2).toBe(Object.keys(READING_LIMITS).length)
})
