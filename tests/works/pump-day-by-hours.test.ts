import fc from 'fast-check'
import { expect, it } from 'vitest'
import { pumpDay } from '../../domain/works/pump-day.ts'
import { runs } from '../support/runs.ts'

type Input = Parameters<typeof pumpDay>[0]

const PARTS = { clear: 1, half: 0.7, dull: 0.45 }
const sun = fc.array(fc.constantFrom(0, 100, 200, 201, 400, 600, 999, 1000, 1200), { minLength: 24, maxLength: 24 })

/** Three hours of sun of 400, 600 and 1000 W/m2 from 9:00: at a threshold of 200 a fourth, a half and all of 4 m3/h. */
const hours = (...values: number[]) => Array.from({ length: 24 }, (_, hour) => values[hour - 9] ?? 0)
const day = (more: Partial<Input> = {}) =>
  pumpDay({
    ...{ clearSkyWPerM2ByHour: hours(400, 600, 1000), usualFlowM3PerH: 4, sunThresholdWPerM2: 200, firstHour: 7 },
    ...{ lastHour: 17, mount: 'fixed', sky: 'clear', ...more },
  })

it('a day without a log is its clear hours times what the sky leaves of them', () => {
  expect(day().flowM3PerHByHour).toEqual(hours(1, 2, 4))
  expect(day({ sky: 'half' }).flowM3PerHByHour.map((flow) => Math.round(flow * 1e9) / 1e9)).toEqual(
    hours(0.7, 1.4, 2.8),
  )
  expect(day({ sky: 'dull' }).dayM3).toBeCloseTo(0.45 * 7, 12)
  expect(day({ firstHour: 10, lastHour: 11 }).flowM3PerHByHour).toEqual(hours(0, 2))
})

it('a day with a log has that sky’s own figure, else the clear one’s and its part, and no more than the usual flow', () => {
  const logged = { clear: 3.5, half: 6 }
  expect(day({ usualDayM3: logged }).flowM3PerHByHour).toEqual(hours(0.5, 1, 2))
  expect(day({ usualDayM3: { clear: 3.5 }, sky: 'dull' }).dayM3).toBeCloseTo(3.5 * 0.45, 12)
  expect(day({ usualDayM3: { half: 6 } })).toMatchObject({ basis: 'clear-sky', dayM3: 7 })
  // 9 m3: the last hour stays at 4, the others share 5 as one to two.
  expect(day({ usualDayM3: { clear: 9 } }).flowM3PerHByHour.map((flow) => Math.round(flow * 1e9) / 1e9)).toEqual(
    hours(1.666666667, 3.333333333, 4),
  )
  expect(day({ usualDayM3: { clear: 11.5 } }).flowM3PerHByHour).toEqual(hours(3.5, 4, 4))
  expect(day({ usualDayM3: { clear: 50 } })).toMatchObject({ dayM3: 12, flowM3PerHByHour: hours(4, 4, 4) })
})

it('the water of a day is spread as if poured a little at a time into hours that are full at the usual flow', () => {
  fc.assert(
    fc.property(
      sun,
      fc.constantFrom<'clear' | 'half' | 'dull'>('clear', 'half', 'dull'),
      fc.constantFrom(undefined, 0, 3, 20, 500),
      (byHour, sky, clear) => {
        const found = day({
          clearSkyWPerM2ByHour: byHour,
          sky,
          ...(clear === undefined ? {} : { usualDayM3: { clear } }),
        })
        const shares = byHour.map((watts, hour) =>
          hour >= 7 && hour < 17 ? 4 * Math.min(1, Math.max(0, (watts - 200) / 800)) : 0,
        )
        const total = shares.reduce((sum, share) => sum + share, 0)
        const wanted = clear === undefined ? PARTS[sky] * total : PARTS[sky] * clear
        // The factor that brings just so much is looked for by halving.
        let [low, high] = [0, 1e6]
        const brings = (factor: number) => shares.reduce((sum, share) => sum + Math.min(4, share * factor), 0)
        for (let step = 0; step < 80; step++) {
          const middle = (low + high) / 2
          if (brings(middle) < wanted) low = middle
          else high = middle
        }
        found.flowM3PerHByHour.forEach((flow, hour) => {
          expect(flow).toBeCloseTo(Math.min(4, shares[hour]! * low), 6)
        })
        expect(found.basis).toBe(clear === undefined ? 'clear-sky' : 'own-log')
      },
    ),
    runs(60),
  )
})

it('a mount stuck to the west gives by the sine and cosine of its lean: nothing while the sun is behind it, all from an hour past noon', () => {
  // Level sun from 6:00 to 18:00, noon at 12: at half past ten the sun stands 22.5 degrees east of noon.
  const level = Array.from({ length: 24 }, (_, hour) => (hour >= 6 && hour < 18 ? 600 : 0))
  const stuck = day({
    clearSkyWPerM2ByHour: level,
    sunThresholdWPerM2: 0,
    usualFlowM3PerH: 10,
    firstHour: 0,
    lastHour: 24,
    mount: 'stuck',
  })
  const lean = (degreesEast: number) =>
    Math.max(0, Math.cos(((degreesEast + 30) * Math.PI) / 180) / Math.cos((degreesEast * Math.PI) / 180))
  const at = (hour: number) => stuck.flowM3PerHByHour[hour]!
  expect(at(7)).toBe(0)
  expect(at(8)).toBeCloseTo(6 * lean(52.5), 9)
  expect(at(10)).toBeCloseTo(6 * lean(22.5), 9)
  expect(at(11)).toBeCloseTo(6 * lean(7.5), 9)
  expect(at(12)).toBeCloseTo(6 * lean(-7.5), 9)
  expect([at(13), at(17)]).toEqual([expect.closeTo(6, 9), expect.closeTo(6, 9)])
  expect([at(5), at(18)]).toEqual([0, 0])
  const logged = (clear: number) =>
    day({
      clearSkyWPerM2ByHour: level,
      sunThresholdWPerM2: 0,
      usualFlowM3PerH: 10,
      firstHour: 0,
      lastHour: 24,
      mount: 'stuck',
      usualDayM3: { clear },
    })
  expect(logged(36).dayM3).toBeCloseTo(stuck.dayM3 / 2, 9)
  expect(logged(100).dayM3).toBeCloseTo(stuck.dayM3, 9)
})

it('a stuck mount gets no light of a sun that stands level with the horizon or below it', () => {
  const long = (first: number, last: number) =>
    day({
      clearSkyWPerM2ByHour: Array.from({ length: 24 }, (_, hour) => (hour >= first && hour < last ? 600 : 0)),
      ...{ sunThresholdWPerM2: 0, usualFlowM3PerH: 10, firstHour: 0, lastHour: 24, mount: 'stuck' },
    }).flowM3PerHByHour
  // Noon at 12: half past four is 112.5 degrees before it, half past five 97.5, half past six in the evening as far after it.
  const aboutNoon = long(4, 20)
  expect([4, 5, 18, 19].map((hour) => aboutNoon[hour])).toEqual([0, 0, 0, 0])
  expect(aboutNoon[17]).toBeGreaterThan(0)
  // Noon at half past twelve: half past six in the evening is a right angle after it.
  const late = long(5, 20)
  expect(late[18]).toBe(0)
  expect(late[17]).toBeGreaterThan(0)
})

it('hours, flows and thresholds may stand at their ends', () => {
  for (const at of [
    { firstHour: 0, lastHour: 24 },
    { firstHour: 16, lastHour: 17 },
    { sunThresholdWPerM2: 0 },
    { sunThresholdWPerM2: 999 },
    { usualFlowM3PerH: 0 },
    { usualDayM3: { clear: 0 } },
  ])
    expect(() => day(at)).not.toThrow()
  for (const [wrong, code] of [
    [{ firstHour: -1 }, 'pump-hours-impossible'],
    [{ lastHour: 25 }, 'pump-hours-impossible'],
    [{ firstHour: 17 }, 'pump-hours-impossible'],
    [{ sunThresholdWPerM2: -1 }, 'sun-threshold-impossible'],
    [{ usualFlowM3PerH: Infinity }, 'pump-flow-impossible'],
    [{ usualDayM3: { clear: Infinity } }, 'pump-day-impossible'],
  ] as const)
    expect(() => day(wrong)).toThrow(code)
  expect(() => day({ clearSkyWPerM2ByHour: hours(400).slice(1) })).toThrow(RangeError)
  expect(() => day({ clearSkyWPerM2ByHour: hours(-1) })).toThrow(RangeError)
})
