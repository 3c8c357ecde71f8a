import { describe, expect, it } from 'vitest'
import { firstDayWithout, handDrawHours } from '../../domain/works/tank.ts'

// Worked by hand: one stands at the tank with a stick and counts the days off.
describe('a tank that nothing fills', () => {
  it('carries whole days from the day of its reading, at dusk from the day after', () => {
    const five = { standsM3: 5, dailyM3: 1 }
    expect(firstDayWithout({ ...five, read: { on: '2026-06-10', moment: 'dawn' } })).toBe('2026-06-15')
    expect(firstDayWithout({ ...five, read: { on: '2026-06-10', moment: 'dusk' } })).toBe('2026-06-16')
  })

  it('counts no day that it carries in part, and loses none to the rounding of tenths', () => {
    const of = (standsM3: number) =>
      firstDayWithout({ standsM3, dailyM3: 0.3, read: { on: '2026-06-29', moment: 'dawn' } })
    expect([of(0.9), of(0.899), of(0.2)]).toEqual(['2026-07-02', '2026-07-01', '2026-06-29'])
  })

  it('is no question where nobody drinks from it', () => {
    const read = { on: '2026-06-10', moment: 'dawn' } as const
    expect(() => firstDayWithout({ standsM3: 5, dailyM3: 0, read })).toThrow('nobody drinks from it')
  })

  it('is replaced by hands: 60 jerrycans at three minutes each are three hours', () => {
    expect(handDrawHours(60)).toBe(3)
  })
})
