import { describe, expect, it } from 'vitest'
import { checkTimetable } from '../../../../domain/rotation/timetable/check/timetable.ts'
import { timetable } from '../../../../domain/rotation/timetable/timetable.ts'
import type { TimetableInput } from '../../../../domain/rotation/timetable/types.ts'
import { tankWeekByHand } from '../../tank-turn/examples.ts'

/**
 * Two days, of which the tank of 6 m3 that keeps 1 back stands at 1 on the first morning; its outlet gives 2 m3 an hour, from 6 to
 * 20 outside the pump's hours of 8 to 16. Who gets none or less of what b asks for, and why.
 */
function without(asksM3: number, change: (week: TimetableInput) => unknown) {
  const input = tankWeekByHand()
  input.allocations = [{ claimId: 'b', plotId: 'b', outletId: 'low', volumeM3: asksM3 }]
  change(input)
  const result = timetable(input)
  expect(checkTimetable({ input, result })).toEqual([])
  return result.unplacedM3.map(({ volumeM3, reason }) => [volumeM3, reason])
}
const set = <T extends object>(thing: T, values: Partial<T>) => Object.assign(thing, values)
const tank = (week: TimetableInput, values: Partial<NonNullable<TimetableInput['tanks']>[number]>) =>
  set(week.tanks![0]!, values)
const dry = (week: TimetableInput, ...days: number[]) =>
  days.map((day) => set(week.pumps[0]!.flowM3PerHByDay, { [week.week.days[day]!]: Array<number>(24).fill(0) }))

describe('why a tank does not give all', () => {
  it.each<[string, number, (week: TimetableInput) => unknown, (number | string)[][]]>([
    // Five of the six on each evening, two and a half hours.
    ['all is given that it holds twice', 10, () => {}, []],
    ['a litre more than it holds twice', 10.001, (w) => tank(w, { gravityHours: undefined }), [[0.001, 'tank-full']]],
    ['the pump rests on one of two days, so that it fills once', 6, (w) => dry(w, 1), [[1, 'tank-full']]],
    ['the pump rests on both, and it stands at its mark', 6, (w) => dry(w, 0, 1), [[6, 'no-flow']]],
    [
      'the pump rests on both, and half a m3 stands above it',
      6,
      (w) => [dry(w, 0, 1), tank(w, { startM3: 1.5 })],
      [[5.5, 'tank-full']],
    ],
    // Two hours of one evening would carry just the four; the tank of 3 m3 has two to give.
    [
      'its hours are just enough',
      4,
      (w) => [oneDay(w), tank(w, { capacityM3: 3, gravityHours: [{ fromHour: 18, toHour: 20 }] })],
      [[2, 'tank-full']],
    ],
    [
      'its hours are a litre short',
      4.001,
      (w) => [oneDay(w), tank(w, { capacityM3: 3, gravityHours: [{ fromHour: 18, toHour: 20 }] })],
      [[2.001, 'hours-too-few']],
    ],
  ])('%s', (_, asksM3, change, expected) => expect(without(asksM3, change)).toEqual(expected))
})

function oneDay({ week }: TimetableInput): void {
  week.days.splice(1)
}
