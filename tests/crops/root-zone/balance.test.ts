import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { addDays } from '../../../domain/calendar.ts'
import {
  depletionFractionAt,
  type IrrigationNeedInput,
  irrigationNeed,
  rootZoneBalance,
  stressCoefficient,
} from '../../../domain/crops/index.ts'
import { daysBefore, plan, plantable } from '../plot.ts'

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

  it('refuses a gap in the days, a negative rain and a start drier than the soil can be', () => {
    const days = [SOWN, addDays(SOWN, 2)].map((date) => ({ date, etoMm: 5, rainMm: 0, irrigationMm: 0 }))
    const input = { crop, plantedOn: SOWN, availableMmPerM: 90, startDepletionMm: 0 }
    expect(() => rootZoneBalance({ ...input, days })).toThrow('weather-day-missing {"date":"2026-01-02"}')
    expect(() => rootZoneBalance({ ...input, days: [days[1]!, days[0]!] })).toThrow('weather-day-missing')
    expect(() => run([{ etoMm: 5, rainMm: -1, irrigationMm: 0 }])).toThrow('depth-below-zero')
    expect(() => run([{ etoMm: 5, rainMm: 0, irrigationMm: 0 }], 19)).toThrow('start-depletion-outside')
  })
})

describe('need and last day by the root zone', () => {
  const WEEK = '2026-03-23'
  const past = (irrigationMm: number) => daysBefore(WEEK, 14).map((day) => ({ ...day, irrigationMm }))
  const base: IrrigationNeedInput = {
    ...{ plan: plan(), weekStartsOn: WEEK, days: past(5.75), startDepletionMm: 0, availableMmPerM: 130 },
    efficiency: { low: 0.6, likely: 0.7, high: 0.8 },
  }
  const known = (input: Partial<IrrigationNeedInput> = {}) => {
    const need = irrigationNeed({ ...base, ...input })
    if (!need.known) throw new Error('cannot say')
    return need
  }

  it('asks for the coming use where the past use was given back', () => {
    const need = known()
    expect(need.depletionMm).toBeCloseTo(0, 9)
    expect(need.netMm).toBeCloseTo(40.25, 9)
    expect(need.grossM3.likely).toBeCloseTo((40.25 * 0.5) / 0.7, 9)
  })

  it('names the last day to water before stress', () => {
    // 91 mm in all, a part 0.4 + 0.04 (5 - 5.75) = 0.37 of it without stress: 33.67 mm. Six days use 34.5 mm, so the
    // seventh morning, 29 March, begins in stress, and water on the 28th is the last in time.
    const need = known()
    expect(need.daysLeftBeforeStress).toBe(6)
    expect(need.latestDayBeforeStress).toBe('2026-03-28')
    expect(need.readilyAvailableMm).toBeCloseTo(33.67, 9)
  })

  it('stays free of stress when watered on that last day, and does not a day later', () => {
    const need = known()
    const stressIf = (wateredOn: string) =>
      rootZoneBalance({
        ...{ crop, plantedOn: SOWN, availableMmPerM: 130, startDepletionMm: need.depletionMm },
        days: Array.from({ length: 8 }, (_, index) => {
          const date = addDays(WEEK, index)
          return { date, etoMm: 5, rainMm: 0, irrigationMm: date === wateredOn ? 40 : 0 }
        }),
      }).some((day) => day.stress < 1)
    expect(stressIf(need.latestDayBeforeStress!)).toBe(false)
    expect(stressIf(addDays(need.latestDayBeforeStress!, 1))).toBe(true)
  })

  it('says that stress has begun where nothing was given for a fortnight', () => {
    expect(known({ days: past(0) })).toMatchObject({ daysLeftBeforeStress: 0, latestDayBeforeStress: null })
  })

  it('needs nothing before sowing and after harvest', () => {
    for (const plantedOn of ['2026-03-30', '2025-10-01']) {
      expect(known({ plan: plan({ plantedOn }), days: [] })).toMatchObject({ netMm: 0, stage: null, kc: 0 })
    }
  })

  it('starts from sowing with the depletion told for it', () => {
    const need = known({ plan: plan({ plantedOn: WEEK }), days: past(0), startDepletionMm: 4 })
    expect(need).toMatchObject({ depletionMm: 4, stage: 'initial', netMm: 4 + 7 * 0.6 * 5 })
  })

  it('cannot say where a day behind has no rain or demand, and names the first', () => {
    const days = past(0).map((day, index) => (index === 4 ? { ...day, rainMm: null } : day))
    expect(irrigationNeed({ ...base, days })).toEqual({
      known: false,
      reasons: [{ code: 'rain-not-measured', values: { days: 1, first: '2026-03-13' } }],
    })
    expect(irrigationNeed({ ...base, days: days.slice(0, 3) })).toMatchObject({ known: false })
  })
})
