import { expect, it } from 'vitest'
import { timetable } from '../../../domain/rotation/timetable/timetable.ts'
import type { TimetableInput } from '../../../domain/rotation/timetable/types.ts'
import { tankWeekByHand } from '../tank-turn/examples.ts'
import { smallWeek } from './examples.ts'

const mistakes: Record<string, (input: TimetableInput) => unknown> = {
  'week-without-days': (input) => input.week.days.splice(0),
  'date-unknown': (input) => input.week.days.splice(0, 1, '2026-02-30'),
  'week-days-out-of-order': (input) => input.week.days.reverse(),
  'turn-minutes-impossible': (input) => Object.assign(input.rules, { minTurnMinutes: 0 }),
  'longest-turn-below-shortest': (input) => Object.assign(input.rules, { maxTurnMinutes: 10 }),
  'outlet-without-pump': (input) => Object.assign(input.outlets[0]!, { pumpId: 'none' }),
  'outlet-flow-impossible': (input) => Object.assign(input.outlets[0]!, { flowM3PerH: Number.NaN }),
  'pump-flow-impossible': cutDay,
  'outlets-together-impossible': (input) => Object.assign(input, { together: [{ pumpId: 'pump', atMost: 0 }] }),
  'named-twice': (input) => input.allocations.push(input.allocations[0]!),
  'outlet-unknown': (input) => Object.assign(input.allocations[0]!, { outletId: 'none' }),
  'volume-impossible': (input) => Object.assign(input.allocations[0]!, { volumeM3: -1 }),
  'volume-not-whole-litres': (input) => Object.assign(input.allocations[0]!, { volumeM3: 1.0005 }),
  'hours-impossible': (input) => input.unavailable.push({ fromHour: 12, toHour: 12 }),
}

function cutDay({ pumps }: TimetableInput): void {
  pumps[0]!.flowM3PerHByDay['2026-03-02'] = [1, 2, 3]
}

it.each(Object.entries(mistakes))('refuses a week that cannot be meant: %s', (code, spoil) => {
  const input = smallWeek()
  spoil(input)
  expect(() => timetable(input)).toThrow(expect.objectContaining({ name: 'InputError', code }))
})

it.each([
  ['filling-minutes-impossible', (input) => Object.assign(input.outlets[0]!, { fillingMinutes: -1 })],
  ['filling-minutes-impossible', (input) => Object.assign(input.outlets[0]!, { fillingMinutes: 2.5 })],
  ['outlets-together-impossible', (input) => Object.assign(input, { together: [{ pumpId: 'pump', atMost: 1.5 }] })],
  ['turn-minutes-impossible', (input) => Object.assign(input.rules, { changeoverMinutes: -1 })],
  ['turn-minutes-impossible', (input) => Object.assign(input.rules, { gridMinutes: 0 })],
  ['turn-minutes-impossible', (input) => Object.assign(input.rules, { minTurnMinutes: 12.5 })],
  ['week-days-out-of-order', ({ week }) => week.days.splice(1, 1, week.days[0]!)],
  ['week-days-out-of-order', ({ week }) => Object.assign(week, { startOn: '2026-03-03' })],
  ['outlet-flow-impossible', (input) => Object.assign(input.outlets[0]!, { flowM3PerH: Infinity })],
  ['volume-impossible', (input) => Object.assign(input.allocations[0]!, { volumeM3: Infinity })],
  [
    'pump-flow-impossible',
    ({ pumps }) => Object.assign(pumps[0]!.flowM3PerHByDay, { '2026-03-02': [-1, ...Array(23).fill(1)] }),
  ],
] satisfies [string, (input: TimetableInput) => unknown][])(
  'refuses it also where only one part of the figure cannot be: %s, %s',
  (code, spoil) => {
    const input = smallWeek()
    spoil(input)
    expect(() => timetable(input)).toThrow(expect.objectContaining({ name: 'InputError', code }))
  },
)

it('makes an empty timetable of a week in which nobody asks', () => {
  expect(timetable({ ...smallWeek(), allocations: [] })).toEqual({ turns: [], unplacedM3: [], notes: [] })
})

/** The tank holds 6 m3, keeps 1 back and begins with 1. */
it.each<[Partial<NonNullable<TimetableInput['tanks']>[number]>, string | undefined]>([
  [{}, undefined],
  [{ floorM3: 6, startM3: 6 }, undefined],
  [{ floorM3: 0, startM3: 0 }, undefined],
  [{ floorM3: 6.001, startM3: 6 }, 'tank-volumes-impossible'],
  [{ startM3: 6.001 }, 'tank-volumes-impossible'],
  [{ startM3: -0.001 }, 'tank-volumes-impossible'],
  [{ floorM3: -0.001 }, 'tank-volumes-impossible'],
  [{ capacityM3: Number.NaN }, 'tank-volumes-impossible'],
  [{ pumpId: 'none' }, 'tank-without-pump'],
])('takes a tank of which no part is more than it holds: %j', (more, code) => {
  const input = tankWeekByHand()
  Object.assign(input.tanks![0]!, more)
  const lay = () => timetable(input)
  if (code) expect(lay).toThrow(expect.objectContaining({ code }))
  else expect(lay).not.toThrow()
})
