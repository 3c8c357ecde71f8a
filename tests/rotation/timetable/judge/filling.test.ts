import { expect, it } from 'vitest'
import { lineFilledAt } from '../../../../domain/rotation/timetable/check/filling.ts'
import { checkTimetable } from '../../../../domain/rotation/timetable/check/timetable.ts'
import type { TimetableClosure } from '../../../../domain/rotation/timetable/types.ts'
import { byHand, MONDAY, TUESDAY } from './by-hand.ts'

/** The pump runs from 8 to 16; the line of `head` fills in twenty minutes. */
const filledAt = (...unavailable: TimetableClosure[]) => {
  const week = byHand()
  Object.assign(week.outlet('head'), { fillingMinutes: 20 })
  return lineFilledAt({ ...week.input, unavailable }, 'head', MONDAY) / 60
}
const minute = 1 / 60

it('a line has filled so long after the first minute in which its pump runs and is not closed', () => {
  expect(filledAt()).toBeCloseTo(8 + 20 * minute, 9)
  expect(filledAt({ fromHour: 8, toHour: 8.5 })).toBeCloseTo(8.5 + 20 * minute, 9)
  expect(filledAt({ toHour: 8 + minute })).toBeCloseTo(8 + 21 * minute, 9)
  expect(filledAt({ toHour: 8 + 20 * minute })).toBeCloseTo(8 + 40 * minute, 9)
  // A minute before the closure is enough for the pump to have run.
  expect(filledAt({ fromHour: 8 + minute, toHour: 9 })).toBeCloseTo(8 + 20 * minute, 9)
  expect(filledAt({ fromHour: 15, toHour: 16 })).toBeCloseTo(8 + 20 * minute, 9)
  expect(filledAt({ toHour: 8.5 }, { fromHour: 8.25, toHour: 10 })).toBeCloseTo(10 + 20 * minute, 9)
  expect(filledAt({ on: MONDAY, pumpId: 'pump', toHour: 9 })).toBeCloseTo(9 + 20 * minute, 9)
  for (const other of [{ on: TUESDAY }, { pumpId: 'other' }, { outletId: 'head' }])
    expect(filledAt(other)).toBeCloseTo(8 + 20 * minute, 9)
  expect(filledAt({})).toBe(0)
})

it('one outlet is held twice within its walk, also where the list has its turns the wrong way round', () => {
  const said = (startMinute: number) => {
    const week = byHand()
    week.input.together = [{ pumpId: 'pump', atMost: 2 }]
    week.turn('late', 'head', startMinute, 20, { order: 1 })
    week.turn('early', 'head', 600, 20, { order: 2 })
    return checkTimetable({ input: week.input, result: week.result }).map(({ code }) => code)
  }
  expect(said(625)).not.toContain('outlet-held-twice')
  expect(said(624)).toContain('outlet-held-twice')
})
