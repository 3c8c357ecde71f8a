import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { addBurdens } from '../../../domain/rotation/timetable/burdens.ts'
import { checkTimetable } from '../../../domain/rotation/timetable/check/timetable.ts'
import { timetableLimits } from '../../../domain/rotation/timetable/limits.ts'
import { timetable } from '../../../domain/rotation/timetable/timetable.ts'
import type { BurdenCounts, TimetableInput } from '../../../domain/rotation/timetable/types.ts'
import { runs } from '../../support/runs.ts'
import { randomWeeks, smallWeek } from './examples.ts'

const litres = (parts: { volumeM3: number }[]) =>
  parts.reduce((sum, { volumeM3 }) => sum + Math.round(volumeM3 * 1000), 0)

describe('a week by hand', () => {
  it('places all the water that the pump can carry and breaks no rule', () => {
    const input = smallWeek()
    const result = timetable(input)
    expect(checkTimetable({ input, result })).toEqual([])
    expect(result.unplacedM3).toEqual([])
    expect(litres(result.turns)).toBe(12_345 + 7_500 + 9_000 + 30_001)
  })

  it('waters the crop with the earliest latest day in time', () => {
    const turns = timetable(smallWeek()).turns.filter(({ claimId }) => claimId === 'c2')
    expect(turns.length).toBeGreaterThan(0)
    expect(turns.every(({ on }) => on <= '2026-03-03')).toBe(true)
  })

  it('gives a turn the minutes that its volume takes at the smaller of both flows', () => {
    const input = smallWeek()
    input.allocations = [
      { claimId: 'c', plotId: 'p', outletId: 'middle', volumeM3: 3, canNot: [{ fromHour: 0, toHour: 11 }] },
    ]
    // From 11:00 the outlet's 2.4 m3/h is below the pump's flow: 3 / 2.4 h = 75 min.
    const [turn] = timetable(input).turns
    expect(turn!.startMinute).toBeGreaterThanOrEqual(11 * 60)
    expect(turn!.endMinute - turn!.startMinute).toBe(75)
  })

  it('splits by day what one day does not carry, and says what does not fit and why', () => {
    const input = smallWeek()
    input.allocations = [{ claimId: 'c', plotId: 'p', outletId: 'tail', volumeM3: 200 }]
    const result = timetable(input)
    // A day carries 0.5 + 1.6 + 6 h at the outlet's 1.9 + 1.8 + 0.7 m3, and six days are open.
    expect(result.turns).toHaveLength(6)
    expect(result.turns.map(({ volumeM3 }) => volumeM3)).toEqual(Array(6).fill(16))
    expect(result.unplacedM3).toEqual([{ claimId: 'c', outletId: 'tail', volumeM3: 104, reason: 'hours-too-few' }])
  })

  it('opens no valve a second time for less than five jerrycans', () => {
    const input = smallWeek()
    // Two full days at the tail carry 32 m3; the last 50 litres are no reason to come on a third day.
    input.allocations = [{ claimId: 'c', plotId: 'p', outletId: 'tail', volumeM3: 32.05 }]
    const result = timetable(input)
    expect(checkTimetable({ input, result })).toEqual([])
    expect(Math.min(...result.turns.map(({ volumeM3 }) => volumeM3))).toBeGreaterThanOrEqual(0.1)
    expect(litres(result.turns) + litres(result.unplacedM3)).toBe(32_050)
    expect(litres(result.unplacedM3)).toBeLessThanOrEqual(50)
  })

  it('gives a claim that fits one day one turn', () => {
    const input = smallWeek()
    input.allocations = ['a', 'b', 'c', 'd', 'e'].map((id) => ({
      ...{ claimId: id, plotId: id, outletId: 'middle', volumeM3: 9 },
    }))
    // A day carries 19 m3 at this outlet, so that the plain order would run the third claim on two days.
    expect(
      timetable(input)
        .turns.map(({ claimId }) => claimId)
        .sort(),
    ).toEqual(['a', 'b', 'c', 'd', 'e'])
  })

  it('tells a full pump from a dry one and from hours that are all closed', () => {
    const input = smallWeek()
    input.outlets.push({ id: 'dry', pumpId: 'pump', flowM3PerH: 0 })
    input.allocations = [
      { claimId: 'a', plotId: 'a', outletId: 'head', volumeM3: 100 },
      { claimId: 'b', plotId: 'b', outletId: 'middle', volumeM3: 90 },
      { claimId: 'c', plotId: 'c', outletId: 'middle', volumeM3: 1, canNot: [{ fromHour: 6, toHour: 18 }] },
      { claimId: 'd', plotId: 'd', outletId: 'dry', volumeM3: 1 },
    ]
    const reasons = Object.fromEntries(timetable(input).unplacedM3.map(({ claimId, reason }) => [claimId, reason]))
    expect(reasons).toMatchObject({ c: 'no-open-hours', d: 'no-flow' })
    expect(Object.values(reasons)).toContain('pump-full')
  })

  it('tells the next allocation what a full pump carries and what an outlet cannot bring', () => {
    const input = smallWeek()
    input.allocations = [
      { claimId: 'a', plotId: 'a', outletId: 'head', volumeM3: 100 },
      { claimId: 'b', plotId: 'b', outletId: 'middle', volumeM3: 90 },
      { claimId: 'c', plotId: 'c', outletId: 'middle', volumeM3: 1, canNot: [{ fromHour: 6, toHour: 18 }] },
    ]
    const result = timetable(input)
    const limits = timetableLimits({ input, result })
    expect(limits.pumps).toEqual([{ pumpId: 'pump', weekM3: litres(result.turns) / 1000 }])
    expect(limits.claims).toEqual([{ claimId: 'c', outletId: 'middle', mostM3: 0 }])
  })

  it('opens two outlets at once where that is allowed, and serves more', () => {
    const input = smallWeek()
    for (const allocation of input.allocations) allocation.volumeM3 = 60
    const alone = litres(timetable(input).turns)
    input.together = [{ pumpId: 'pump', atMost: 2 }]
    const result = timetable(input)
    expect(checkTimetable({ input, result })).toEqual([])
    expect(litres(result.turns)).toBeGreaterThan(alone * 1.1)
  })

  it('says when a crop is served after its latest day', () => {
    const input = smallWeek()
    input.allocations[1]!.latestOn = '2026-03-01'
    const { notes, turns } = timetable(input)
    const [turn] = turns.filter(({ claimId }) => claimId === 'c2')
    expect(notes).toContainEqual({ code: 'after-latest-day', turnId: turn!.id })
  })
})

describe('every week', () => {
  it('passes the judge, sums to the litre', () => {
    fc.assert(
      fc.property(randomWeeks({ mostPumps: 3, mostRows: 14 }), (input) => {
        const result = timetable(input)
        expect(checkTimetable({ input, result })).toEqual([])
        expect(litres(result.turns) + litres(result.unplacedM3)).toBe(litres(input.allocations))
      }),
      runs(60),
    )
  })

  it('comes out the same again, whatever the order of the lists', () => {
    fc.assert(
      fc.property(randomWeeks({ mostPumps: 3, mostRows: 10 }), (input) => {
        const turned: TimetableInput = {
          ...input,
          allocations: input.allocations.toReversed(),
          pumps: input.pumps.toReversed(),
          outlets: input.outlets.toReversed(),
          unavailable: input.unavailable.toReversed(),
        }
        expect(timetable(turned)).toEqual(timetable(input))
      }),
      runs(10),
    )
  })
})

it('evens the hard hours out over a season, so that nobody is always last', () => {
  let history: Record<string, BurdenCounts> = {}
  const input = smallWeek()
  input.together = undefined
  input.allocations = ['a', 'b', 'c', 'd', 'e', 'f'].map((id) => ({
    claimId: id,
    plotId: id,
    outletId: 'head',
    volumeM3: 7,
  }))
  for (let week = 0; week < 12; week++) {
    history = addBurdens({ history, turns: timetable({ ...input, history }).turns })
  }
  for (const burden of ['last', 'noon', 'dawn'] as const) {
    const counts = input.allocations.map(({ plotId }) => history[plotId]?.[burden] ?? 0)
    expect(Math.max(...counts) - Math.min(...counts)).toBeLessThanOrEqual(2)
  }
})
