import { describe, expect, it } from 'vitest'
import { cappedByChambers } from '../../../domain/rotation/pump-flow/chamber.ts'
import { notedSky, usualPumpDays } from '../../../domain/rotation/pump-flow/log.ts'

it('a chamber holds a pump from the first litre beyond what it gives, and one that gives nothing all of it', () => {
  const held = (flow: number, sustained: number) =>
    cappedByChambers({
      pumps: [{ weirId: 'w', flowM3PerHByDay: { day: [flow] } }],
      sustainedM3PerHByWeir: new Map([['w', sustained]]),
    })[0]!
  expect(held(4, 4)).toStrictEqual({ weirId: 'w', flowM3PerHByDay: { day: [4] } })
  expect(held(4.001, 4)).toEqual({ weirId: 'w', flowM3PerHByDay: { day: [4] }, chamberM3PerH: 4 })
  expect(held(4, 0)).toEqual({ weirId: 'w', flowM3PerHByDay: { day: [0] }, chamberM3PerH: 0 })
  expect(() => held(4, -0.1)).toThrow(RangeError)
})

describe('the sky of a day as its draws tell it', () => {
  const draw = (
    startMinute: number | null,
    endMinute: number | null,
    outletM3PerH = 3,
    sky: 'clear' | null = 'clear',
  ) => ({
    ...{ sky, startMinute, endMinute, outletM3PerH },
  })
  // From 8 to 18: nine tenths of 600 minutes are 540.
  const whole = (...draws: ReturnType<typeof draw>[]) =>
    notedSky({ draws, firstHour: 8, lastHour: 18, usualFlowM3PerH: 3 })?.wholeDay

  it('is that of a whole day where nine tenths of its minutes were drawn in full', () => {
    expect([whole(draw(480, 1020)), whole(draw(480, 1019)), whole(draw(481, 1020))]).toEqual([true, false, false])
    expect(whole(draw(400, 1020))).toBe(true)
    expect([whole(draw(480, 1020, 1), draw(480, 1020, 2)), whole(draw(480, 1020, 2.9))]).toEqual([true, false])
  })

  it('is that of two outlets that together take the usual flow, in whatever tenths', () => {
    const flows = Array.from({ length: 25 }, (_, at) => 2 * at + 1)
    const pairs = flows.flatMap((one) => flows.map((other) => [one, other] as const))
    const found = ([one, other]: readonly [number, number], usualTenths: number) =>
      notedSky({
        draws: [draw(480, 1020, one / 10), draw(480, 1020, other / 10)],
        ...{ firstHour: 8, lastHour: 18, usualFlowM3PerH: usualTenths / 10 },
      })!.wholeDay
    expect(pairs.filter((pair) => !found(pair, pair[0] + pair[1]))).toEqual([])
    expect(pairs.filter((pair) => found(pair, pair[0] + pair[1] + 1))).toEqual([])
  })

  it('counts no draw of which one end was not written', () => {
    expect([whole(draw(null, 1080)), whole(draw(480, null)), whole(draw(null, null))]).toEqual([false, false, false])
  })
})

it('the usual day of a sky is the mean of three whole days of its month at least', () => {
  const day = (on: string, volumeM3: number, more: object = {}) => ({
    ...{ on, volumeM3, sky: 'clear' as const, wholeDay: true },
    ...more,
  })
  const days = [
    day('2026-06-01', 10),
    day('2025-06-30', 14),
    day('2026-07-01', 99),
    day('2026-06-02', 98, { wholeDay: false }),
  ]
  expect(usualPumpDays({ days, month: 6 })).toEqual({})
  const three = [...days, day('2026-06-03', 18), day('2026-06-04', 1, { sky: 'dull' })]
  expect(usualPumpDays({ days: three, month: 6 })).toEqual({ clear: { meanM3: 14, days: 3 } })
})
