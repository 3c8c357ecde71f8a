import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { breakdownM3ByWeek, type MissedVolume, settleMissed } from '../../../domain/rotation/outcome/missed.ts'
import { dayTotals } from '../../../domain/rotation/outcome/totals.ts'

describe('a day’s totals', () => {
  it('add up to the list to a litre, whatever came of the turns', () => {
    const turns = fc.array(
      fc.record({
        state: fc.constantFrom('done', 'missed', 'excused', 'moved', 'open'),
        volumeM3: fc.integer({ min: 1, max: 90_000 }),
      }),
    )
    fc.assert(
      fc.property(turns, (list) => {
        const totals = dayTotals({ turns: list.map((one) => ({ ...one, volumeM3: one.volumeM3 / 1000 })) })
        const litres = Object.values(totals.byState).map((one) => Math.round(one.volumeM3 * 1000))
        expect(litres.reduce((sum, each) => sum + each, 0)).toBe(list.reduce((sum, one) => sum + one.volumeM3, 0))
        expect(Object.values(totals.byState).reduce((sum, one) => sum + one.count, 0)).toBe(list.length)
        expect(totals.isClosed).toBe(list.every((one) => one.state !== 'open'))
      }),
    )
  })
})

const missed = (cause: MissedVolume['cause'], on: string, volumeM3: number, excusedDays = 14): MissedVolume => ({
  plotId: 'p',
  on,
  cause,
  volumeM3,
  excusedDays,
})

describe('what becomes of a missed turn', () => {
  it('counts a turn without word as received, at once', () => {
    const settled = settleMissed({
      missed: [missed('no-show', '2026-06-03', 6)],
      beyond: [],
      weekStartOn: '2026-06-08',
    })
    expect(settled).toEqual({ forfeitedM3: { p: 6 }, lapsedM3: {}, running: [] })
  })

  it('keeps an excused one running for its days, and lets it lapse the day after', () => {
    const turns = [missed('excused', '2026-06-03', 6)]
    const running = settleMissed({ missed: turns, beyond: [], weekStartOn: '2026-06-15' })
    expect(running.lapsedM3).toEqual({})
    expect(running.running).toMatchObject([{ leftM3: 6, expiresOn: '2026-06-17' }])
    const later = settleMissed({ missed: turns, beyond: [], weekStartOn: '2026-06-22' })
    expect(later).toEqual({ forfeitedM3: {}, lapsedM3: { p: 6 }, running: [] })
  })

  it('takes what later weeks brought beyond their entitlement, each litre once and the earliest turn first', () => {
    // 6 and 4 excused; 7 m3 beyond in the week of the 8th: the 6 are made good, 3 of the 4 stay.
    const turns = [missed('excused', '2026-06-05', 4), missed('excused', '2026-06-03', 6)]
    const beyond = [{ weekStartOn: '2026-06-08', plotId: 'p', beyondM3: 7 }]
    const settled = settleMissed({ missed: turns, beyond, weekStartOn: '2026-06-22' })
    expect(settled.lapsedM3).toEqual({ p: 3 })
  })

  it('never makes a turn good by water of its own week or after its days', () => {
    const beyond = [
      { weekStartOn: '2026-06-01', plotId: 'p', beyondM3: 9 },
      { weekStartOn: '2026-06-22', plotId: 'p', beyondM3: 9 },
    ]
    const settled = settleMissed({ missed: [missed('excused', '2026-06-03', 6)], beyond, weekStartOn: '2026-06-29' })
    expect(settled.lapsedM3).toEqual({ p: 6 })
  })

  it('makes a breakdown nobody’s debt: it counts in its week, for the plots it struck', () => {
    const turns = [
      missed('breakdown', '2026-06-03', 6),
      missed('breakdown', '2026-06-04', 2),
      missed('no-show', '2026-06-04', 1),
    ]
    expect(settleMissed({ missed: turns.slice(0, 2), beyond: [], weekStartOn: '2026-06-22' })).toEqual({
      forfeitedM3: {},
      lapsedM3: {},
      running: [],
    })
    expect(breakdownM3ByWeek({ missed: turns, weekOf: () => '2026-06-01' })).toEqual({ '2026-06-01': { p: 8 } })
  })
})
