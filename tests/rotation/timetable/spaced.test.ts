import { describe, expect, it } from 'vitest'
import { daysBetween } from '../../../domain/calendar.ts'
import { checkTimetable } from '../../../domain/rotation/timetable/check/timetable.ts'
import { timetable } from '../../../domain/rotation/timetable/timetable.ts'
import { smallWeek } from './examples.ts'

/** The middle plot asks for two turns, the first with two thirds of its 7.5 m3. */
function week(change: Partial<ReturnType<typeof smallWeek>> = {}) {
  const input = { ...smallWeek(), ...change }
  const allocations = input.allocations.map((each) =>
    each.claimId === 'c2' ? { ...each, spaced: { turns: 2, firstPart: 2 / 3 } } : each,
  )
  return { ...input, allocations: allocations.filter((each) => each.claimId !== 'c4') }
}

const ownTurns = (input: ReturnType<typeof week>) => timetable(input).turns.filter((turn) => turn.claimId === 'c2')

describe('two small turns', () => {
  it('come days apart, the first with its part, and the judge agrees', () => {
    const input = week()
    const result = timetable(input)
    const turns = result.turns.filter((turn) => turn.claimId === 'c2')
    expect(turns.map((turn) => turn.volumeM3)).toEqual([5, 2.5])
    expect(daysBetween(turns[0]!.on, turns[1]!.on)).toBeGreaterThanOrEqual(2)
    expect(checkTimetable({ input, result })).toEqual([])
  })

  it('are late only where the first of them is', () => {
    expect(timetable(week()).notes).toEqual([])
  })

  it('give way to the water: on the one open day all is still given', () => {
    const days = week()
      .week.days.slice(1)
      .map((on) => ({ on }))
    const turns = ownTurns(week({ unavailable: days, allocations: [smallWeek().allocations[1]!] }))
    expect(turns.map((turn) => turn.volumeM3)).toEqual([7.5])
  })

  it('come in the same stretches from both outlets of a plot', () => {
    const [, middle] = smallWeek().allocations
    const spaced = { turns: 2, firstPart: 0.5 }
    const both = ['head', 'middle'].map((outletId) => ({ ...middle!, outletId, volumeM3: 4, spaced }))
    const input = { ...smallWeek(), allocations: both }
    const { turns } = timetable(input)
    const daysOf = (from: string, to: string) => turns.filter(({ on }) => on >= from && on <= to)
    expect(daysOf('2026-03-02', '2026-03-03').map(({ volumeM3 }) => volumeM3)).toEqual([2, 2])
    expect(daysOf('2026-03-05', '2026-03-07').map(({ volumeM3 }) => volumeM3)).toEqual([2, 2])
    expect(checkTimetable({ input, result: timetable(input) })).toEqual([])
  })
})
