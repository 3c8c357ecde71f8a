import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import {
  openDaysByHours,
  startsOnGrid,
  turnsApart,
  wishedStretches,
} from '../../../../domain/rotation/timetable/open-hours.ts'
import { runs } from '../../../support/runs.ts'
import { allocation, closure, input, MINUTES, MONDAY, shuts, TUESDAY } from './two-days.ts'

describe('open hours', () => {
  it('are those in which the pump gives, its line has filled and nobody is closed, told by where they end', () => {
    fc.assert(
      fc.property(fc.array(closure, { maxLength: 3 }), fc.constantFrom(0, 20), (unavailable, atFirst) => {
        const flow = [
          Float64Array.from(MINUTES, (minute) => (minute >= 480 && minute < 660 ? 6 : 0)),
          new Float64Array(1440),
        ]
        const canNot = [{ fromHour: 8.5, toHour: 8.75 }]
        const [until, dry] = openDaysByHours(input({ unavailable }), { pumpId: 'p', flow })(
          allocation({ canNot }),
          atFirst,
        )
        const starts =
          MINUTES.find((minute) => minute >= 480 && minute < 660 && !unavailable.some((one) => shuts(one, minute))) ??
          1440
        const open = MINUTES.map((minute) => {
          const isClosed = unavailable.some((one) => shuts(one, minute, 'x')) || (minute >= 510 && minute < 525)
          return minute >= 480 && minute < 660 && minute >= starts + atFirst && !isClosed
        })
        const ends = MINUTES.map((minute) => {
          const closes = open.indexOf(false, minute)
          return open[minute] ? (closes < 0 ? 1440 : closes) : 0
        })
        expect([...until!]).toEqual(ends)
        expect(dry!.every((minute) => minute === 0)).toBe(true)
      }),
      runs(60),
    )
  })

  it('let a turn start on the grid, where the shortest still fits', () => {
    const open = Int16Array.from(MINUTES, (minute) => (minute >= 481 && minute < 500 ? 500 : minute >= 1420 ? 1440 : 0))
    const rules = { gridMinutes: 5, minTurnMinutes: 10, changeoverMinutes: 0, maxTurnMinutes: 60, burdenWeekdays: [] }
    const starts = startsOnGrid(open, rules)
    const from = [0, 481, 485, 486, 490, 491, 1420, 1430, 1431, 1440].map((minute) => starts[minute])
    expect(from).toEqual([485, 485, 485, 490, 490, 1420, 1420, 1430, 1440, 1440])
  })

  it('that are wished for stand in whole minutes on each day that they name', () => {
    const wished = [{ on: TUESDAY, fromHour: 8, toHour: 9 }, { fromHour: 10 + 1 / 3, toHour: 10.755 }, {}]
    const stretches = wishedStretches(allocation({ wished }), [MONDAY, TUESDAY])
    expect(stretches.map((one) => ({ ...one, fromMinute: one.fromMinute + 0 }))).toEqual([
      { day: 1, fromMinute: 480, toMinute: 540 },
      { day: 0, fromMinute: 620, toMinute: 645 },
      { day: 1, fromMinute: 620, toMinute: 645 },
      { day: 0, fromMinute: 0, toMinute: 1440 },
      { day: 1, fromMinute: 0, toMinute: 1440 },
    ])
    expect(wishedStretches(allocation(), [MONDAY])).toEqual([])
  })
})

describe('turns days apart', () => {
  const open = (...days: boolean[]) => days.map((is) => new Int16Array(1440).fill(is ? 1440 : 0))
  const apart = (litres: number, firstPart: number, days: Int16Array[], turns = 2, listPlace?: number) =>
    turnsApart(
      allocation({ spaced: { turns, firstPart }, ...(listPlace === undefined ? {} : { listPlace }) }),
      litres,
      days,
    ).map((one) => [one.litres, one.openUntil.flatMap((until, day) => (until[0]! > 0 ? [day] : [])).join(' ')])
  const WEEK = open(true, true, true, true, true, true, true)

  it('share the open days and the litres, a day between them kept free', () => {
    expect(apart(3001, 0.6, WEEK)).toEqual([
      [1801, '0 1'],
      [1200, '3 4'],
    ])
    expect(apart(3000, 0.5, WEEK, 3)).toEqual([
      [1500, '0'],
      [750, '2'],
      [750, '4'],
    ])
    expect(apart(3000, 0.5, open(false, true, false, true))).toEqual([
      [1500, '1'],
      [1500, '3'],
    ])
  })

  it('are one where that is asked, by list, on one day, or of less than half a cubic metre', () => {
    const whole = '0 1 2 3 4 5 6'
    expect(apart(3000, 0.5, WEEK, 1)).toEqual([[3000, whole]])
    expect(apart(3000, 0.5, WEEK, 2, 0)).toEqual([[3000, whole]])
    expect(apart(3000, 0.5, open(false, true))).toEqual([[3000, '1']])
    expect(apart(1000, 0.5, WEEK)).toHaveLength(2)
    expect(apart(999, 0.5, WEEK)).toEqual([[999, whole]])
    expect(apart(2000, 0.2, WEEK)).toEqual([[2000, whole]])
    expect(apart(2000, 0.8, WEEK)).toEqual([[2000, whole]])
  })
})
