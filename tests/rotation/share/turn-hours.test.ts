import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { countedFrom, countsForSeason } from '../../../domain/rotation/share/season-days.ts'
import { turnHours } from '../../../domain/rotation/share/turn-hours.ts'

const member = (size: number, fillingHours: number, drainingHours = 0) => ({ size, fillingHours, drainingHours })

describe('turns by time along a line', () => {
  it('are of a day by hand', () => {
    // 24 hours, of which two and one fill the line and one more runs out at its end: 22 for 2 + 3 + 6 parts, two hours a part.
    const { hoursPerSize, turns } = turnHours({
      periodHours: 24,
      members: [member(2, 2), member(3, 1), member(6, 0, 1)],
    })
    expect([hoursPerSize, ...turns]).toEqual([2, 6, 7, 11])
  })

  it('fill the period, and leave each the same running water for the same land', () => {
    const anyone = fc
      .record({ size: fc.integer({ min: 1, max: 9 }), filling: fc.integer({ min: 0, max: 8 }), draining: fc.nat(8) })
      .map(({ size, filling, draining }) => member(size, filling / 4, draining / 4))
    fc.assert(
      fc.property(fc.array(anyone, { minLength: 1, maxLength: 7 }), (members) => {
        const { hoursPerSize, turns } = turnHours({ periodHours: 168, members })
        expect(turns.reduce((sum, hours) => sum + hours, 0)).toBeCloseTo(168, 9)
        for (const [at, { size, fillingHours, drainingHours }] of members.entries())
          expect((turns[at]! - fillingHours + drainingHours) / size).toBeCloseTo(hoursPerSize, 9)
      }),
    )
  })

  it('are none where filling takes the period, or nobody has land', () => {
    const of =
      (periodHours: number, ...members: ReturnType<typeof member>[]) =>
      () =>
        turnHours({ periodHours, members })
    expect(of(3, member(1, 3))).toThrow('turn-hours-none')
    expect(of(3, member(1, 2.5))).not.toThrow()
    expect(of(3, member(0, 1), member(0, 1))).toThrow('turn-hours-none')
    expect(of(3, member(0, 4), member(0, 1))).toThrow('turn-hours-none')
    expect(of(3)).toThrow('turn-hours-none')
  })
})

describe('the first day that counts for a season', () => {
  /** Weeks from Monday to Sunday. */
  const rhythm = { firstWeekday: 1 as const, marketWeeks: [] }
  const from = (seasonStartOn: string, ...weekStarts: string[]) => countedFrom({ seasonStartOn, weekStarts, ...rhythm })

  it('is that of the published week that was running', () => {
    expect(from('2026-06-10', '2026-06-15', '2026-06-08', '2026-06-01')).toBe('2026-06-08')
    expect(from('2026-06-14', '2026-06-08')).toBe('2026-06-08')
    expect(from('2026-06-15', '2026-06-08')).toBe('2026-06-15')
    expect(from('2026-06-08', '2026-06-08', '2026-06-15')).toBe('2026-06-08')
    expect(from('2026-06-10')).toBe('2026-06-10')
  })

  it('is in every week that ends in the season', () => {
    const counts = (weekStartOn: string) => countsForSeason({ seasonStartOn: '2026-06-14', weekStartOn, ...rhythm })
    expect(['2026-06-01', '2026-06-08', '2026-06-15'].map(counts)).toEqual([false, true, true])
  })
})
