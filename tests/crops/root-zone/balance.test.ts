import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { addDays } from '../../../domain/calendar.ts'
import { depletionFractionAt, stressCoefficient } from '../../../domain/crops/root-zone/available-water.ts'
import { rootZoneBalance } from '../../../domain/crops/root-zone/balance.ts'
import { plantable } from '../plot.ts'

const SOWN = '2026-01-01'
const crop = plantable('tomato')
const run = (weather: { etoMm: number; rainMm: number; irrigationMm: number }[], startDepletionMm = 0) =>
  rootZoneBalance({
    ...{ crop, plantedOn: SOWN, availableMmPerM: 90, startDepletionMm },
    days: weather.map((day, index) => ({ ...day, date: addDays(SOWN, index) })),
  })

const anyWeather = fc.array(
  fc.record({
    etoMm: fc.double({ min: 0, max: 12, noNaN: true }),
    rainMm: fc.oneof(fc.constant(0), fc.double({ min: 0, max: 90, noNaN: true })),
    irrigationMm: fc.oneof(fc.constant(0), fc.double({ min: 0, max: 40, noNaN: true })),
  }),
  { minLength: 1, maxLength: 150 },
)

describe('the root zone day by day', () => {
  it('closes every day and stays between field capacity and what roots can draw, in any weather', () => {
    fc.assert(
      fc.property(anyWeather, fc.double({ min: 0, max: 18, noNaN: true }), (weather, start) => {
        let before = start
        for (const day of run(weather, start)) {
          const change = day.evapotranspirationMm + day.percolationMm - day.creditedRainMm - day.irrigationMm
          expect(Math.abs(before + change - day.depletionMm)).toBeLessThan(1e-9)
          expect(day.depletionMm).toBeGreaterThanOrEqual(0)
          expect(day.depletionMm).toBeLessThanOrEqual(day.totalAvailableMm + 1e-9)
          expect(day.evapotranspirationMm).toBeGreaterThanOrEqual(0)
          expect(day.percolationMm).toBeGreaterThanOrEqual(0)
          before = day.depletionMm
        }
      }),
    )
  })

  it('reckons stress and the depletion fraction as the separate functions do', () => {
    const weather = Array.from({ length: 60 }, () => ({ etoMm: 7, rainMm: 0, irrigationMm: 0 }))
    let depletionMm = 0
    for (const day of run(weather)) {
      const readilyMm = depletionFractionAt({ tableFraction: 0.4, etcMm: day.kc * 7 }) * day.totalAvailableMm
      expect(day.readilyAvailableMm).toBeCloseTo(readilyMm, 12)
      const expected = stressCoefficient({ depletionMm, totalMm: day.totalAvailableMm, readilyMm })
      expect(day.stress).toBeCloseTo(expected, 12)
      depletionMm = day.depletionMm
    }
    expect(depletionMm).toBeGreaterThan(0)
  })

  it('lets a surplus drain only after the crop has drunk that day', () => {
    const [day] = run([{ etoMm: 5, rainMm: 0, irrigationMm: 10 }])
    expect(day!.evapotranspirationMm).toBeCloseTo(3, 12)
    expect(day!.percolationMm).toBeCloseTo(7, 12)
    expect(day!.depletionMm).toBe(0)
  })

  it('finds water under a part of the ground only, once the crop is grown and drip wets no more', () => {
    const input = { crop, plantedOn: SOWN, availableMmPerM: 90, startDepletionMm: 0 }
    const days = Array.from({ length: 80 }, (_, at) => ({
      date: addDays(SOWN, at),
      ...{ etoMm: 5, rainMm: 0, irrigationMm: 30 },
    }))
    const dripped = rootZoneBalance({ ...input, rootedPart: 0.5, days })
    expect(dripped[0]!.totalAvailableMm).toBeCloseTo(0.2 * 90, 12)
    expect(dripped[79]!.totalAvailableMm).toBeCloseTo(0.7 * 90 * 0.51, 0)
    expect(rootZoneBalance({ ...input, days })[79]!.totalAvailableMm).toBeCloseTo(0.7 * 90, 12)
  })

  it('leaves out rain that only wets the leaves', () => {
    const [day] = run([{ etoMm: 6, rainMm: 1, irrigationMm: 0 }])
    expect(day!.creditedRainMm).toBe(0)
  })

  it('grows roots from a seedling to the lesser printed depth by the end of development', () => {
    const days = run(Array.from({ length: 135 }, () => ({ etoMm: 1, rainMm: 0, irrigationMm: 0 })))
    expect(days[29]!.rootDepthM).toBeCloseTo(0.2, 12)
    expect(days[49]!.rootDepthM).toBeCloseTo(0.45, 12)
    expect(days[69]!.rootDepthM).toBeCloseTo(0.7, 12)
    expect(days[134]!.rootDepthM).toBeCloseTo(0.7, 12)
  })

  it('stands to the day of harvest, that day with it, and is nothing without a day or before it is sown', () => {
    const day = (at: number) => ({ date: addDays(SOWN, at), etoMm: 5, rainMm: 0, irrigationMm: 0 })
    const input = { crop, plantedOn: SOWN, availableMmPerM: 90, startDepletionMm: 0 }
    const dates = (days: ReturnType<typeof day>[], more = {}) =>
      rootZoneBalance({ ...input, days, ...more }).map(({ date }) => date)
    const five = [0, 1, 2, 3, 4].map(day)
    expect(dates(five, { harvestedOn: addDays(SOWN, 2) })).toEqual([0, 1, 2].map((at) => addDays(SOWN, at)))
    expect(dates(five)).toHaveLength(5)
    expect([dates([]), dates([day(-2), day(-1)])]).toEqual([[], []])
  })

  it('never takes more than the roots can reach, however thirsty the air', () => {
    // A seedling in 0.2 m of 15 mm a metre has 3 mm, of which one is gone; six tenths of 9 mm a day would be 5.4.
    const days = [0, 1].map((at) => ({ date: addDays(SOWN, at), etoMm: 9, rainMm: 0, irrigationMm: 0 }))
    const balance = rootZoneBalance({ crop, plantedOn: SOWN, availableMmPerM: 15, startDepletionMm: 1, days })
    expect(balance.map(({ depletionMm }) => depletionMm)).toEqual([3, 3])
    expect(balance[0]!.evapotranspirationMm).toBeLessThanOrEqual(2)
  })

  it('refuses a gap in the days, a negative rain and a start drier than the soil can be', () => {
    const days = [SOWN, addDays(SOWN, 2)].map((date) => ({ date, etoMm: 5, rainMm: 0, irrigationMm: 0 }))
    const input = { crop, plantedOn: SOWN, availableMmPerM: 90, startDepletionMm: 0 }
    expect(() => rootZoneBalance({ ...input, days })).toThrow('weather-day-missing {"date":"2026-01-02"}')
    expect(() => rootZoneBalance({ ...input, days: [days[1]!, days[0]!] })).toThrow('weather-day-missing')
    // As many days as lie between the first and the last, but one twice, or two exchanged.
    for (const places of [
      [0, 1, 1, 3],
      [0, 2, 1, 3],
    ]) {
      const wrong = places.map((at) => ({ ...days[0]!, date: addDays(SOWN, at) }))
      expect(() => rootZoneBalance({ ...input, days: wrong })).toThrow('weather-day-missing')
    }
    expect(() => run([{ etoMm: 5, rainMm: -1, irrigationMm: 0 }])).toThrow('depth-below-zero')
    expect(() => run([{ etoMm: 5, rainMm: 0, irrigationMm: 0 }], 19)).toThrow('start-depletion-outside')
  })
})
