import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { checkTimetable } from '../../../domain/rotation/timetable/check/timetable.ts'
import { timetable } from '../../../domain/rotation/timetable/timetable.ts'
import type { ClosedHours, TimetableInput } from '../../../domain/rotation/timetable/types.ts'
import { runs } from '../../support/runs.ts'

const DAYS = ['2026-06-08', '2026-06-09', '2026-06-10', '2026-06-11']
const FLOW = Array.from({ length: 24 }, (_, hour) => (hour >= 7 && hour < 17 ? 10 : 0))

interface Name {
  plotId: string
  volumeM3: number
  canNot?: ClosedHours[]
  outletId?: string
}

/** One pump of 10 m3 an hour from 7 to 17, one line, five minutes between turns; the names in the order of the list. */
function week(names: Name[], more: Partial<TimetableInput> = {}): TimetableInput {
  return {
    week: { startOn: DAYS[0]!, days: DAYS },
    allocations: names.map(({ plotId, volumeM3, canNot = [], outletId = 'o' }, listPlace) => {
      return { claimId: plotId, plotId, outletId, volumeM3, canNot, listPlace }
    }),
    pumps: [{ id: 'p', flowM3PerHByDay: Object.fromEntries(DAYS.map((day) => [day, FLOW])) }],
    outlets: ['o', 'o2', 'o3'].map((id) => ({ id, pumpId: 'p', flowM3PerH: 10 })),
    unavailable: [],
    rules: { minTurnMinutes: 10, changeoverMinutes: 5 },
    ...more,
  }
}

const times = (input: TimetableInput) =>
  timetable(input).turns.map((turn) => [turn.plotId, DAYS.indexOf(turn.on), turn.startMinute / 60, turn.volumeM3])

describe('a pump that goes by list', () => {
  it('gives the next names their water one after the other, from day to day', () => {
    // By hand: b 40 m3 from 7:00 to 11:00, c 50 from 11:05 to 16:05; a has 55 minutes until 17:00, less than a fifth of its 60,
    // so it begins on the second day instead and takes six hours.
    const names = [
      { plotId: 'b', volumeM3: 40 },
      { plotId: 'c', volumeM3: 50 },
      { plotId: 'a', volumeM3: 60 },
    ]
    expect(times(week(names))).toEqual([
      ['b', 0, 7, 40],
      ['c', 0, 11 + 5 / 60, 50],
      ['a', 1, 7, 60],
    ])
  })

  it('resumes at the next name after a day without turns, a fault or a funeral', () => {
    const names = [
      { plotId: 'b', volumeM3: 90 },
      { plotId: 'c', volumeM3: 90 },
      { plotId: 'a', volumeM3: 90 },
    ]
    expect(times(week(names, { unavailable: [{ on: DAYS[1]! }] })).map(([plotId, day]) => [plotId, day])).toEqual([
      ['b', 0],
      ['c', 2],
      ['a', 3],
    ])
  })

  it('goes to the next name for hours that a holder cannot take, and comes back to it', () => {
    const names = [
      { plotId: 'b', volumeM3: 20, canNot: [{ on: DAYS[0]!, fromHour: 0, toHour: 12 }] },
      { plotId: 'c', volumeM3: 20 },
    ]
    const input = week(names)
    expect(times(input)).toEqual([
      ['c', 0, 7, 20],
      ['b', 0, 12, 20],
    ])
    expect(checkTimetable({ input, result: timetable(input) })).toEqual([])
  })

  it('calls names that are not on the list after all that are', () => {
    const input = week([{ plotId: 'b', volumeM3: 20 }])
    input.allocations.unshift({ claimId: 'a', plotId: 'a', outletId: 'o', volumeM3: 20 })
    expect(times(input).map(([plotId]) => plotId)).toEqual(['b', 'a'])
  })

  it('passes the judge in any week, and the judge sees two names that changed places', () => {
    const name = fc.record({
      volumeM3: fc.integer({ min: 300, max: 40_000 }).map((litres) => litres / 1000),
      outletId: fc.constantFrom('o', 'o2', 'o3'),
      canNot: fc.array(
        fc.record({
          on: fc.constantFrom(...DAYS),
          fromHour: fc.integer({ min: 6, max: 15 }),
          hours: fc.constantFrom(0.5, 2, 5),
        }),
        { maxLength: 2 },
      ),
    })
    const weeks = fc.record({
      names: fc.array(name, { minLength: 2, maxLength: 8 }),
      atMost: fc.integer({ min: 1, max: 3 }),
      apart: fc.boolean(),
      filling: fc.constantFrom(0, 8),
    })
    fc.assert(
      fc.property(weeks, ({ names, atMost, apart, filling }) => {
        const base = week(
          names.map(({ canNot, ...rest }, at) => ({
            ...rest,
            plotId: `p${at}`,
            canNot: canNot.map(({ on, fromHour, hours }) => ({ on, fromHour, toHour: fromHour + hours })),
          })),
        )
        const pairs: [string, string][] = [
          ['o', 'o2'],
          ['o', 'o3'],
        ]
        const input = {
          ...base,
          outlets: base.outlets.map((outlet) => ({ ...outlet, fillingMinutes: outlet.id === 'o3' ? filling : 0 })),
          together: [{ pumpId: 'p', atMost, ...(apart ? { pairs } : {}) }],
        }
        expect(checkTimetable({ input, result: timetable(input) })).toEqual([])
      }),
      runs(300),
    )
    const input = week([
      { plotId: 'b', volumeM3: 20 },
      { plotId: 'c', volumeM3: 20 },
    ])
    const other = { ...input, allocations: input.allocations.map((each, at) => ({ ...each, listPlace: 1 - at })) }
    const codes = checkTimetable({ input: other, result: timetable(input) }).map(({ code }) => code)
    expect(codes).toContain('list-order-broken')
  })
})
