import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { InputError } from '../../domain/input-error.ts'
import { pumpDay } from '../../domain/works/pump-day.ts'

/** FAO-56 hourly clear-sky radiation at 1.5 S, 38 E (zone UTC+3), 1000 m, 15 January, in W/m2; equations 28 to 37 reckoned apart. */
const CLEAR_SKY = [
  0, 0, 0, 0, 0, 0, 23.06, 240.34, 486.8, 700.78, 867.71, 976.21, 1018.88, 992.82, 899.79, 746.16, 542.37, 302.32,
  57.64, 0, 0, 0, 0, 0,
]

type PumpDayInput = Parameters<typeof pumpDay>[0]

const input = (change: Partial<PumpDayInput> = {}): PumpDayInput => ({
  clearSkyWPerM2ByHour: CLEAR_SKY,
  usualFlowM3PerH: 3,
  sunThresholdWPerM2: 200,
  firstHour: 7,
  lastHour: 17,
  mount: 'fixed',
  sky: 'clear',
  ...change,
})

describe('the flow of a pump under the sun', () => {
  it('is 1.5 m3/h at 600 W/m2 for 3 m3/h at full sun and a threshold of 200 W/m2', () => {
    // Worked by hand from the threshold line: 3 (600 - 200) / (1000 - 200) = 1.5.
    const day = pumpDay(input({ clearSkyWPerM2ByHour: Array(24).fill(600) }))
    expect(day.flowM3PerHByHour).toEqual(Array.from({ length: 24 }, (_, hour) => (hour >= 7 && hour < 17 ? 1.5 : 0)))
    expect(day.dayM3).toBe(15)
  })

  it('is nothing at and below the threshold, and more than halves when the sun halves', () => {
    const flow = (sunWPerM2: number) =>
      pumpDay(input({ clearSkyWPerM2ByHour: Array(24).fill(sunWPerM2) })).flowM3PerHByHour[12]!
    expect([flow(0), flow(200), flow(1000), flow(1100)]).toEqual([0, 0, 3, 3])
    expect(flow(450)).toBeLessThan(flow(900) / 2)
  })
})

describe('a pump day', () => {
  it('brings about three-fifths of its water between ten and two on a fixed mount', () => {
    // Common practice, no source: 10h 14, 11h 16, 12h 16, 13h 14 of 100 parts.
    const { flowM3PerHByHour, dayM3 } = pumpDay(input())
    const middle = flowM3PerHByHour.slice(10, 14).reduce((a, b) => a + b)
    expect(middle / dayM3).toBeGreaterThan(0.52)
    expect(middle / dayM3).toBeLessThan(0.65)
  })

  it('takes the volume that the pump usually gives on such a day, from its own log', () => {
    const usualDayM3 = { clear: 15, half: 9, dull: 5 }
    for (const sky of ['clear', 'half', 'dull'] as const) {
      const day = pumpDay(input({ sky, usualDayM3 }))
      expect(day.dayM3).toBeCloseTo(usualDayM3[sky], 9)
      expect(day.basis).toBe('own-log')
    }
  })

  it('brings less under a half sky and still less under a dull one where no log tells', () => {
    const [clear, half, dull] = (['clear', 'half', 'dull'] as const).map((sky) => pumpDay(input({ sky })))
    expect(clear!.dayM3).toBeGreaterThan(half!.dayM3)
    expect(half!.dayM3).toBeGreaterThan(dull!.dayM3)
    expect(dull!.basis).toBe('clear-sky')
  })

  it('credits a tracking mount with nothing but what the log shows, and then flattens the day', () => {
    expect(pumpDay(input({ mount: 'tracking' }))).toEqual(pumpDay(input()))
    const fixed = pumpDay(input())
    const tracking = pumpDay(input({ mount: 'tracking', usualDayM3: { clear: fixed.dayM3 * 1.2 } }))
    expect(tracking.dayM3).toBeCloseTo(fixed.dayM3 * 1.2, 9)
    expect(tracking.flowM3PerHByHour[8]! / tracking.flowM3PerHByHour[12]!).toBeGreaterThan(
      fixed.flowM3PerHByHour[8]! / fixed.flowM3PerHByHour[12]!,
    )
  })

  it('loses the morning of a mount that is stuck to the west, and gains no afternoon', () => {
    const fixed = pumpDay(input())
    const stuck = pumpDay(input({ mount: 'stuck', usualDayM3: { clear: fixed.dayM3 * 1.3 } }))
    expect(stuck.flowM3PerHByHour[8]).toBe(0)
    expect(stuck.flowM3PerHByHour[10]!).toBeLessThan(fixed.flowM3PerHByHour[10]! * 0.7)
    for (const hour of [14, 15, 16]) expect(stuck.flowM3PerHByHour[hour]).toBeCloseTo(fixed.flowM3PerHByHour[hour]!, 9)
  })

  it('never plans more than the usual flow, nor anything outside the hours of the pump', () => {
    fc.assert(
      fc.property(
        fc.array(fc.double({ min: 0, max: 1300, noNaN: true }), { minLength: 24, maxLength: 24 }),
        fc.option(fc.double({ min: 0, max: 100, noNaN: true }), { nil: undefined }),
        fc.constantFrom('fixed', 'tracking', 'stuck'),
        fc.constantFrom('clear', 'half', 'dull'),
        (clearSkyWPerM2ByHour, clear, mount, sky) => {
          const day = pumpDay(
            input({ clearSkyWPerM2ByHour, usualDayM3: { clear }, mount, sky } as Partial<PumpDayInput>),
          )
          for (const [hour, flow] of day.flowM3PerHByHour.entries()) {
            expect(flow).toBeGreaterThanOrEqual(0)
            expect(flow).toBeLessThanOrEqual(hour >= 7 && hour < 17 ? 3 : 0)
          }
          if (clear !== undefined) expect(day.dayM3).toBeLessThanOrEqual(clear + 1e-9)
        },
      ),
    )
  })

  it('gives nothing on a day without sun, whatever the log says', () => {
    const dark = { clearSkyWPerM2ByHour: Array(24).fill(0), usualDayM3: { clear: 12 } }
    for (const mount of ['fixed', 'tracking', 'stuck'] as const)
      expect(pumpDay(input({ ...dark, mount })).dayM3).toBe(0)
  })

  it.each([
    ['pump-flow-impossible', { usualFlowM3PerH: -1 }],
    ['sun-threshold-impossible', { sunThresholdWPerM2: 1000 }],
    ['pump-hours-impossible', { firstHour: 17, lastHour: 7 }],
    ['pump-day-impossible', { usualDayM3: { dull: -2 } }],
  ])('refuses what cannot be meant: %s', (code, change) => {
    expect(() => pumpDay(input(change))).toThrow(expect.objectContaining({ code, constructor: InputError }))
  })
})
