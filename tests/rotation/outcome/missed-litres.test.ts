import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { addDays } from '../../../domain/calendar.ts'
import { breakdownM3ByWeek, settleMissed } from '../../../domain/rotation/outcome/missed.ts'

const NOW = '2026-06-29'
const missed = (on: string, volumeM3: number, more: object = {}) => ({
  plotId: 'a',
  on,
  cause: 'excused' as const,
  volumeM3,
  excusedDays: 14,
  ...more,
})
const beyond = (weekStartOn: string, beyondM3: number, plotId = 'a') => ({ weekStartOn, plotId, beyondM3 })
const settled = (turns: ReturnType<typeof missed>[], weeks: ReturnType<typeof beyond>[] = []) =>
  settleMissed({ missed: turns, beyond: weeks, weekStartOn: NOW })

describe('a missed turn', () => {
  it('that nobody excused counts as received, and one that a breakdown took as nothing', () => {
    const turns = [
      missed('2026-06-20', 2, { cause: 'no-show' }),
      missed('2026-06-21', 3, { cause: 'no-show' }),
      missed('2026-06-22', 4, { cause: 'breakdown' }),
    ]
    expect(settled(turns)).toEqual({ forfeitedM3: { a: 5 }, lapsedM3: {}, running: [] })
  })

  it('may be made good to the last of its days, and lapses after it', () => {
    const [open, over] = [settled([missed('2026-06-15', 5)]), settled([missed('2026-06-14', 5)])]
    expect(open.running).toMatchObject([{ leftM3: 5, expiresOn: NOW }])
    expect(open.lapsedM3).toEqual({})
    expect(over).toEqual({ forfeitedM3: {}, lapsedM3: { a: 5 }, running: [] })
    expect(settled([missed(NOW, 5)]).running).toEqual([])
    expect(settled([missed('2026-06-28', 5)]).running).toHaveLength(1)
  })

  it('is made good by weeks begun after it and within its days, of its own plot, before the week in question', () => {
    const left = (week: ReturnType<typeof beyond>, on = '2026-06-15') => {
      const { running, lapsedM3 } = settled([missed(on, 5)], [week])
      return running[0]?.leftM3 ?? lapsedM3.a ?? 0
    }
    expect(left(beyond('2026-06-22', 3))).toBe(2)
    expect(left(beyond('2026-06-22', 5))).toBe(0)
    expect(left(beyond('2026-06-22', 3, 'b'))).toBe(5)
    expect(left(beyond('2026-06-15', 3))).toBe(5)
    expect(left(beyond('2026-06-16', 3))).toBe(2)
    expect(left(beyond(NOW, 3))).toBe(5)
    expect([left(beyond('2026-06-15', 3), '2026-06-01'), left(beyond('2026-06-16', 3), '2026-06-01')]).toEqual([2, 5])
  })

  it('is made good litre by litre, the earliest first, and no litre twice', () => {
    const days = fc.integer({ min: 1, max: 28 })
    const turn = fc.record({ ago: days, litres: fc.integer({ min: 1, max: 6 }) })
    const week = fc.record({ ago: days, litres: fc.integer({ min: 0, max: 6 }) })
    fc.assert(
      fc.property(fc.array(turn, { maxLength: 4 }), fc.array(week, { maxLength: 4 }), (turns, weeks) => {
        const inOrder = turns.toSorted((a, b) => b.ago - a.ago)
        const stock = weeks.map(({ litres }) => litres)
        let [running, lapsed] = [0, 0]
        for (const { ago, litres } of inOrder)
          for (let litre = 0; litre < litres; litre++) {
            const at = weeks.findIndex((one, place) => one.ago < ago && one.ago >= ago - 14 && stock[place]! > 0)
            if (at >= 0) stock[at]!--
            else if (ago > 14) lapsed++
            else running++
          }
        const found = settled(
          turns.map(({ ago, litres }) => missed(addDays(NOW, -ago), litres / 1000)),
          weeks.map(({ ago, litres }) => beyond(addDays(NOW, -ago), litres / 1000)),
        )
        expect(Math.round(1000 * (found.lapsedM3.a ?? 0))).toBe(lapsed)
        expect(Math.round(1000 * found.running.reduce((sum, { leftM3 }) => sum + leftM3, 0))).toBe(running)
      }),
      { numRuns: 200 },
    )
  })

  it('of a breakdown is counted by the week of the day, plot by plot', () => {
    const turns = [
      missed('2026-06-15', 2, { cause: 'breakdown' }),
      missed('2026-06-16', 3, { cause: 'breakdown' }),
      missed('2026-06-16', 4, { cause: 'breakdown', plotId: 'b' }),
      missed('2026-06-16', 9),
    ]
    expect(breakdownM3ByWeek({ missed: turns, weekOf: (on) => (on < '2026-06-16' ? 'first' : 'second') })).toEqual({
      first: { a: 2 },
      second: { a: 3, b: 4 },
    })
  })
})
