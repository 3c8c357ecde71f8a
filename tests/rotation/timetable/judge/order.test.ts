import { describe, expect, it } from 'vitest'
import { checkTimetable } from '../../../../domain/rotation/timetable/check/timetable.ts'
import { type ByHand, byHand, codesOf, MONDAY, TUESDAY } from './by-hand.ts'

type Case = [what: string, plan: (week: ByHand) => unknown, said: string[]]

const set = <T extends object>(thing: T, values: Partial<T>) => Object.assign(thing, values)
const BROKEN = ['list-order-broken']

/** `late` stands first on the list and comes second: from 10:30, after `soon` from 10:00. */
function outOfOrder(w: ByHand, more: { soonAt?: string; lateAt?: string } = {}): void {
  w.turn('soon', more.soonAt ?? 'head', 600, 20)
  w.turn('late', more.lateAt ?? 'middle', 630, 20)
  set(w.allocation('soon'), { listPlace: 1 })
  set(w.allocation('late'), { listPlace: 0 })
}
const cannot = (w: ByHand, at: { on?: string; fromHour?: number; toHour?: number }) =>
  set(w.allocation('late'), { canNot: [at] })

const list: Case[] = [
  ['is broken by a later name that comes first', (w) => outOfOrder(w), BROKEN],
  [
    'is kept by names in their order',
    (w) => [outOfOrder(w), set(w.allocation('soon'), { listPlace: 0 }), set(w.allocation('late'), { listPlace: 1 })],
    [],
  ],
  ['binds nobody who is not on it', (w) => [outOfOrder(w), set(w.allocation('late'), { listPlace: undefined })], []],
  ['binds no two of one place', (w) => [outOfOrder(w), set(w.allocation('soon'), { listPlace: 0 })], []],
  ['binds nobody at another pump', (w) => outOfOrder(w, { lateAt: 'far' }), []],
  [
    'asks for the first turn alone',
    (w) => [
      w.turn('late', 'middle', 500, 20),
      w.turn('soon', 'head', 600, 20),
      w.turn('late', 'middle', 600, 20, { on: TUESDAY }),
      set(w.allocation('soon'), { listPlace: 1 }),
      set(w.allocation('late'), { listPlace: 0 }),
    ],
    [],
  ],
  ['excuses who could not come just then', (w) => [outOfOrder(w), cannot(w, { fromHour: 10, toHour: 10.5 })], []],
  ['excuses nobody who could until then', (w) => [outOfOrder(w), cannot(w, { fromHour: 8, toHour: 10 })], BROKEN],
  ['excuses who could come a minute later', (w) => [outOfOrder(w), cannot(w, { fromHour: 8, toHour: 601 / 60 })], []],
  [
    'excuses nobody who has the shortest turn free',
    (w) => [outOfOrder(w), cannot(w, { fromHour: 610 / 60, toHour: 10.5 })],
    BROKEN,
  ],
  ['excuses who has a minute less', (w) => [outOfOrder(w), cannot(w, { fromHour: 609 / 60, toHour: 10.5 })], []],
  ['excuses nobody for another day', (w) => [outOfOrder(w), cannot(w, { on: TUESDAY })], BROKEN],
  [
    'excuses where the outlet was closed',
    (w) => [outOfOrder(w), w.input.unavailable.push({ on: MONDAY, outletId: 'middle', toHour: 10.5 })],
    [],
  ],
  ['excuses nobody for another outlet', (w) => [outOfOrder(w), w.input.unavailable.push({ outletId: 'tail' })], BROKEN],
  [
    'excuses whose line takes longer to fill',
    (w) => [outOfOrder(w), set(w.outlet('middle'), { fillingMinutes: 1 })],
    [],
  ],
  [
    'excuses nobody whose line fills as fast',
    (w) => [
      outOfOrder(w),
      set(w.outlet('middle'), { fillingMinutes: 4 }),
      set(w.outlet('head'), { fillingMinutes: 4 }),
    ],
    BROKEN,
  ],
  [
    'excuses whose outlet was walked to just then',
    (w) => [w.turn('x', 'middle', 576, 20), outOfOrder(w), set(w.input, { together: [{ pumpId: 'pump', atMost: 2 }] })],
    [],
  ],
  [
    'excuses nobody whose outlet was free in time',
    (w) => [w.turn('x', 'middle', 575, 20), outOfOrder(w), set(w.input, { together: [{ pumpId: 'pump', atMost: 2 }] })],
    BROKEN,
  ],
  ['excuses who may not meet an open outlet', (w) => [pairs(w), w.turn('x', 'tail', 590, 20), outOfOrder(w)], []],
  [
    'excuses who may not meet one that opened at that very minute',
    (w) => [pairs(w), w.turn('x', 'tail', 600, 20), outOfOrder(w)],
    [],
  ],
  [
    'excuses nobody for one that opened a minute later',
    (w) => [
      ...[pairs(w), outOfOrder(w), set(w.result.turns[1]!, { order: 3 })],
      w.turn('x', 'tail', 601, 20, { order: 2 }),
    ],
    BROKEN,
  ],
  [
    'excuses nobody after that outlet has closed',
    (w) => [pairs(w), w.turn('x', 'tail', 580, 20), outOfOrder(w)],
    BROKEN,
  ],
  [
    'excuses nobody for an outlet open on another day',
    (w) => [pairs(w), w.turn('x', 'tail', 590, 20, { on: TUESDAY }), outOfOrder(w)],
    BROKEN,
  ],
]

/** Head and tail may be open at once, and head and middle; middle and tail may not. */
function pairs({ input, outlet }: ByHand): void {
  for (const id of ['head', 'middle', 'tail']) set(outlet(id), { flowM3PerH: 3 })
  set(input, {
    together: [
      {
        pumpId: 'pump',
        atMost: 2,
        pairs: [
          ['tail', 'head'],
          ['middle', 'head'],
        ],
      },
    ],
  })
}

describe('the judge: turns by list', () => {
  it.each(list)('the list %s', (_, plan, expected) => {
    const week = byHand()
    plan(week)
    expect(codesOf(checkTimetable(week))).toEqual(expected)
  })
})

describe('the judge: the first filling of a day', () => {
  // The pump starts at 8:00 and the line of the outlet takes 20 minutes.
  const judged = (startMinute: number, more: (w: ByHand) => unknown = () => {}) => {
    const week = byHand()
    set(week.outlet('head'), { fillingMinutes: 20 })
    week.turn('a', 'head', startMinute, 20)
    more(week)
    return codesOf(checkTimetable(week))
  }

  it('is over to the minute', () => {
    expect(judged(500)).toEqual([])
    expect(judged(499)).toEqual(['line-not-filled'])
  })

  it('begins when the pump is open, not when another is, or an outlet, or on another day', () => {
    const from9 = { fromHour: 0, toHour: 9 }
    const closed = (more: object) => (w: ByHand) => w.input.unavailable.push({ ...from9, ...more })
    for (const more of [{}, { pumpId: 'pump' }, { on: MONDAY }]) {
      expect(judged(560, closed(more))).toEqual([])
      expect(judged(559, closed(more))).toEqual(['line-not-filled'])
    }
    for (const more of [{ pumpId: 'other' }, { outletId: 'middle' }, { on: TUESDAY }])
      expect(judged(500, closed(more))).toEqual([])
  })
})
