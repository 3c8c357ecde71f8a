import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { notedSky, usualPumpDays } from '../../../domain/rotation/pump-flow/log.ts'
import { checkTimetable } from '../../../domain/rotation/timetable/check/timetable.ts'
import { timetable } from '../../../domain/rotation/timetable/timetable.ts'
import type { TimetableInput } from '../../../domain/rotation/timetable/types.ts'
import { runs } from '../../support/runs.ts'

const DAY = '2026-03-02'

/** One pump of 3 m3/h from 8 to 12, two outlets of 3 m3/h, 3 m3 (an hour) each. */
const twoHours = (fillingMinutes: number): TimetableInput => ({
  week: { startOn: DAY, days: [DAY] },
  allocations: ['a', 'b'].map((id) => ({ claimId: id, plotId: id, outletId: id, volumeM3: 3 })),
  pumps: [{ id: 'pump', flowM3PerHByDay: { [DAY]: Array.from({ length: 24 }, (_, h) => (h >= 8 && h < 12 ? 3 : 0)) } }],
  outlets: ['a', 'b'].map((id) => ({ id, pumpId: 'pump', flowM3PerH: 3, fillingMinutes })),
  unavailable: [],
  rules: { minTurnMinutes: 10, changeoverMinutes: 5, gridMinutes: 5 },
})

describe('line filling', () => {
  it('comes before the first turn of the day, and adds to the changeover before the second', () => {
    const result = timetable(twoHours(20))
    // By hand: the pump starts at 8:00, so water comes at 8:20 at the earliest; then 5 minutes of changeover and 20 of filling.
    const [first, second] = result.turns
    expect(first!.startMinute).toBeGreaterThanOrEqual(8 * 60 + 20)
    expect(second!.startMinute - first!.endMinute).toBeGreaterThanOrEqual(25)
    expect(checkTimetable({ input: twoHours(20), result })).toEqual([])
  })

  it('is missed by the judge where a first turn begins with the pump', () => {
    const input = twoHours(20)
    const codes = checkTimetable({ input, result: timetable(twoHours(0)) }).map(({ code }) => code)
    expect(codes).toContain('line-not-filled')
  })

  it('leaves volume over when the filling takes the hours', () => {
    const result = timetable(twoHours(150))
    const placed = result.turns.reduce((sum, turn) => sum + turn.volumeM3, 0)
    expect(placed).toBeLessThan(6)
    expect(checkTimetable({ input: twoHours(150), result })).toEqual([])
  })

  it('always passes the judge, with several lines open at once', () => {
    fc.assert(
      fc.property(
        fc.array(fc.integer({ min: 0, max: 60 }), { minLength: 2, maxLength: 5 }),
        fc.integer({ min: 1, max: 3 }),
        (minutes, atMost) => {
          const ids = minutes.map((_, at) => `o${at}`)
          const input: TimetableInput = {
            ...twoHours(0),
            allocations: ids.map((id, at) => ({ claimId: id, plotId: id, outletId: id, volumeM3: 0.5 + at / 2 })),
            outlets: ids.map((id, at) => ({ id, pumpId: 'pump', flowM3PerH: 2, fillingMinutes: minutes[at]! })),
            together: [{ pumpId: 'pump', atMost }],
          }
          expect(checkTimetable({ input, result: timetable(input) })).toEqual([])
        },
      ),
      runs(40),
    )
  })
})

describe('what a pump gives by its own log', () => {
  const day = (on: string, volumeM3: number, sky: 'clear' | 'half' | 'dull' = 'clear', wholeDay = true) => ({
    on,
    volumeM3,
    sky,
    wholeDay,
  })

  it('is the mean of at least three whole days of the month under such a sky', () => {
    const days = [
      day('2026-06-01', 20),
      day('2026-06-02', 22),
      day('2025-06-28', 27),
      day('2026-06-05', 4, 'clear', false), // the pump stood still for want of turns
      day('2026-07-01', 90),
      day('2026-06-08', 10, 'dull'),
      day('2026-06-09', 12, 'dull'),
    ]
    // (20 + 22 + 27) / 3 = 23; two dull days are too few.
    expect(usualPumpDays({ days, month: 6 })).toEqual({ clear: { meanM3: 23, days: 3 } })
  })

  it('takes the sky from the notes of the turns where they agree, and the day as whole where the turns fill its hours', () => {
    const draw = (sky: 'clear' | 'half' | null, from: number, to: number) => {
      return { sky, startMinute: from * 60, endMinute: to * 60, outletM3PerH: 6 }
    }
    const hours = { firstHour: 7, lastHour: 17, usualFlowM3PerH: 6 }
    // 7 to 12, 11 to 16.5: nine and a half of ten hours, the shared hour counted once.
    expect(notedSky({ draws: [draw('half', 7, 12), draw('half', 11, 16.5)], ...hours })).toEqual({
      sky: 'half',
      wholeDay: true,
    })
    expect(notedSky({ draws: [draw('half', 7, 12), draw(null, 12, 15)], ...hours })).toEqual({
      sky: 'half',
      wholeDay: false,
    })
    expect(notedSky({ draws: [draw('half', 7, 12), draw('clear', 12, 17)], ...hours })).toBeNull()
    expect(notedSky({ draws: [draw(null, 7, 17)], ...hours })).toBeNull()
    const unclocked = { sky: 'clear' as const, startMinute: null, endMinute: null, outletM3PerH: 6 }
    expect(notedSky({ draws: [unclocked], ...hours })).toEqual({ sky: 'clear', wholeDay: false })
    // An outlet of 6 m3 an hour on a pump of 10 holds the pump back; two of them together take all that it gives.
    const big = { ...hours, usualFlowM3PerH: 10 }
    expect(notedSky({ draws: [draw('half', 7, 17)], ...big })).toEqual({ sky: 'half', wholeDay: false })
    expect(notedSky({ draws: [draw('half', 7, 17), draw('half', 7, 16)], ...big })!.wholeDay).toBe(true)
  })
})
