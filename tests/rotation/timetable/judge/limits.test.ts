import { describe, expect, it } from 'vitest'
import { checkTimetable } from '../../../../domain/rotation/timetable/check/timetable.ts'
import { type ByHand, byHand, codesOf, MONDAY, sixFrom, TUESDAY } from './by-hand.ts'

// Each rule stands at its limit, where it holds, and one minute or litre beyond, where it does not.

type Case = [what: string, plan: (week: ByHand) => unknown, said: string[]]

const set = <T extends object>(thing: T, values: Partial<T>) => Object.assign(thing, values)
const wholeDay = ({ input }: ByHand) => set(input.pumps[0]!.flowM3PerHByDay, { [MONDAY]: sixFrom(0, 24) })
const closed = (week: ByHand, at: ByHand['input']['unavailable'][number]) => week.input.unavailable.push(at)
const cannot = (week: ByHand, at: { on?: string; fromHour?: number; toHour?: number }) =>
  set(week.allocation('a'), { canNot: [at] })
const twoLines = ({ input }: ByHand, pairs?: [string, string][]) =>
  set(input, { together: [{ pumpId: 'pump', atMost: 2, pairs }] })
const a = (week: ByHand, startMinute = 600, minutes = 20) => week.turn('a', 'head', startMinute, minutes)
const b = (week: ByHand, startMinute: number, outletId = 'middle') => week.turn('b', outletId, startMinute, 20)

const alone: Case[] = [
  ['stands where all is in order', (w) => a(w), []],
  ['may begin at midnight', (w) => [wholeDay(w), a(w, 0)], []],
  ['may end at midnight', (w) => [wholeDay(w), a(w, 1420)], []],
  ['begins before no day', (w) => [wholeDay(w), a(w, -1)], ['not-minutes-of-the-day']],
  ['ends after no day', (w) => [wholeDay(w), a(w, 1421)], ['not-minutes-of-the-day']],
  [
    'belongs to its own allocation, not to one holder’s at another’s outlet',
    (w) => [set(a(w), { outletId: 'middle' }), b(w, 700)],
    ['turn-without-allocation'],
  ],
  ['may begin with the pump and end with it', (w) => [a(w, 480, 120), w.turn('b', 'middle', 840, 120)], []],
  [
    'begins a minute before the pump',
    (w) => set(a(w, 479), { volumeM3: 1.9 }),
    ['pump-gives-nothing', 'volume-not-accounted'],
  ],
  [
    'ends a minute after the pump',
    (w) => set(a(w, 941), { volumeM3: 1.9 }),
    ['pump-gives-nothing', 'volume-not-accounted'],
  ],
  [
    'on a day of which nothing is known',
    (w) => [set(w.input.pumps[0]!, { flowM3PerHByDay: {} }), a(w)],
    ['pump-gives-nothing', 'volume-beyond-flow'],
  ],
  ['may be as short as the shortest', (w) => a(w, 600, 10), []],
  ['is a minute shorter than the shortest', (w) => a(w, 600, 9), ['turn-too-short']],
  ['may be as long as the longest', (w) => a(w, 600, 120), []],
  ['is a minute longer than the longest', (w) => a(w, 600, 121), ['turn-above-longest']],
  ['of two minutes to the grid', (w) => [set(w.input.rules, { gridMinutes: 2 }), a(w, 602)], []],
  ['off the grid of two', (w) => [set(w.input.rules, { gridMinutes: 2 }), a(w, 601)], ['start-off-grid']],
  ['on five minutes where no grid is told', (w) => [set(w.input.rules, { gridMinutes: undefined }), a(w, 605)], []],
  [
    'off five minutes where no grid is told',
    (w) => [set(w.input.rules, { gridMinutes: undefined }), a(w, 606)],
    ['start-off-grid'],
  ],
  ['says a minute less than it takes', (w) => set(a(w), { hours: 19 / 60 }), ['hours-differ']],
  ['says a minute more than it takes', (w) => set(a(w), { hours: 21 / 60 }), ['hours-differ']],
  [
    'brings a litre more than comes in its minutes',
    (w) => w.turn('a', 'head', 600, 20, { volumeM3: 2.001 }),
    ['volume-beyond-flow'],
  ],
  ['brings all but its last minute and a litre', (w) => w.turn('a', 'head', 600, 20, { volumeM3: 1.901 }), []],
  ['has a minute too many', (w) => w.turn('a', 'head', 600, 20, { volumeM3: 1.89 }), ['turn-longer-than-its-water']],
  ['has minutes too many only as the shortest may', (w) => w.turn('a', 'head', 600, 10, { volumeM3: 0.3 }), []],
  ['brings a litre', (w) => w.turn('a', 'head', 600, 10, { volumeM3: 0.001 }), []],
  ['brings nothing', (w) => w.turn('a', 'head', 600, 10, { volumeM3: 0 }), ['not-whole-litres']],
  ['has another pump’s outlet', (w) => [set(a(w), { pumpId: 'other' })], ['outlet-on-another-pump']],
]

const closures: Case[] = [
  ['until it begins', (w) => [a(w), closed(w, { toHour: 10 }), closed(w, { fromHour: 8, toHour: 10 })], []],
  ['from when it ends', (w) => [a(w), closed(w, { fromHour: 620 / 60 })], []],
  ['until a minute after it begins', (w) => [a(w), closed(w, { toHour: 601 / 60 })], ['turn-while-closed']],
  ['from a minute before it ends', (w) => [a(w), closed(w, { fromHour: 619 / 60 })], ['turn-while-closed']],
  ['on another day', (w) => [a(w), closed(w, { on: TUESDAY })], []],
  ['at another outlet of its pump', (w) => [a(w), closed(w, { pumpId: 'pump', outletId: 'tail' })], []],
  ['at another outlet, no pump told', (w) => [a(w), closed(w, { outletId: 'tail' })], []],
  ['of another pump', (w) => [a(w), closed(w, { pumpId: 'other' })], []],
  ['of its outlet and pump', (w) => [a(w), closed(w, { pumpId: 'pump', outletId: 'head' })], ['turn-while-closed']],
  ['of its pump', (w) => [a(w), closed(w, { pumpId: 'pump' })], ['turn-while-closed']],
  ['for its holder until it begins', (w) => [a(w), cannot(w, { toHour: 10 })], []],
  ['for its holder from when it ends', (w) => [a(w), cannot(w, { fromHour: 620 / 60 })], []],
  ['for its holder on another day', (w) => [a(w), cannot(w, { on: TUESDAY })], []],
  ['for its holder a minute into it', (w) => [a(w), cannot(w, { toHour: 601 / 60 })], ['holder-cannot']],
  ['for its holder a minute before its end', (w) => [a(w), cannot(w, { fromHour: 619 / 60 })], ['holder-cannot']],
]

const beside: Case[] = [
  ['after the walk', (w) => [a(w), b(w, 625)], []],
  ['a minute before the walk is over', (w) => [a(w), b(w, 624)], ['too-many-outlets-open']],
  ['after the filling', (w) => [set(w.outlet('middle'), { fillingMinutes: 7 }), a(w), b(w, 632)], []],
  [
    'a minute before its line is full',
    (w) => [set(w.outlet('middle'), { fillingMinutes: 7 }), a(w), b(w, 631)],
    ['too-many-outlets-open'],
  ],
  [
    'on the same outlet before the walk is over, two lines at once',
    (w) => [twoLines(w), a(w), b(w, 624, 'head')],
    ['outlet-held-twice'],
  ],
  ['on the same outlet after the walk, two lines at once', (w) => [twoLines(w), a(w), b(w, 625, 'head')], []],
  [
    'on the same outlet before its filling is over',
    (w) => [twoLines(w), set(w.outlet('head'), { fillingMinutes: 7 }), a(w), b(w, 631, 'head')],
    ['outlet-held-twice'],
  ],
  [
    'on the same outlet after its filling',
    (w) => [twoLines(w), set(w.outlet('head'), { fillingMinutes: 7 }), a(w), b(w, 632, 'head')],
    [],
  ],
  [
    'at the same minute, of half the flow each',
    (w) => [
      twoLines(w),
      set(w.outlet('head'), { flowM3PerH: 3 }),
      set(w.outlet('middle'), { flowM3PerH: 3 }),
      a(w),
      b(w, 600),
    ],
    [],
  ],
  [
    'with what the earlier leaves, and a litre more',
    (w) => [
      twoLines(w),
      set(w.outlet('head'), { flowM3PerH: 3 }),
      a(w),
      w.turn('b', 'middle', 600, 20, { volumeM3: 1.001 }),
    ],
    ['volume-beyond-flow'],
  ],
  [
    'as a third at once',
    (w) => [
      twoLines(w),
      ...['head', 'middle', 'tail'].map((id) => set(w.outlet(id), { flowM3PerH: 1.8 })),
      a(w),
      b(w, 605),
      w.turn('c', 'tail', 610, 20),
    ],
    ['too-many-outlets-open'],
  ],
  [
    'as a pair that may',
    (w) => [
      twoLines(w, [['middle', 'head']]),
      set(w.outlet('head'), { flowM3PerH: 3 }),
      set(w.outlet('middle'), { flowM3PerH: 3 }),
      a(w),
      b(w, 619),
    ],
    [],
  ],
  [
    'as a pair that may not, though each of them may with another',
    (w) => [
      twoLines(w, [
        ['head', 'tail'],
        ['tail', 'middle'],
      ]),
      set(w.outlet('head'), { flowM3PerH: 3 }),
      set(w.outlet('middle'), { flowM3PerH: 3 }),
      a(w),
      b(w, 619),
    ],
    ['outlets-not-together'],
  ],
  ['one after the other where they may not meet', (w) => [twoLines(w, []), a(w), b(w, 620)], []],
  ['on another pump at the same minute', (w) => [a(w), w.turn('b', 'far', 600, 20)], []],
  ['on another day at the same minute', (w) => [a(w), w.turn('b', 'middle', 600, 20, { on: TUESDAY })], []],
  [
    'first on the list though later',
    (w) => [set(a(w, 700), { order: 1 }), set(b(w, 600), { order: 2 })],
    ['order-broken'],
  ],
  ['third on a list of two', (w) => [a(w), set(b(w, 700), { order: 3 })], ['order-broken']],
  ['for the same claim twice a day', (w) => [a(w), a(w, 700)], ['turn-broken-within-day']],
  ['for the same claim on two days', (w) => [a(w), w.turn('a', 'head', 600, 20, { on: TUESDAY })], []],
]

const rest = (claimId: string, outletId: string, volumeM3: number) => {
  return { claimId, outletId, volumeM3, reason: 'pump-full' as const }
}

const sums: Case[] = [
  ['a litre less than was given', (w) => [a(w), set(w.allocation('a'), { volumeM3: 2.001 })], ['volume-not-accounted']],
  ['a litre more than was given', (w) => [a(w), set(w.allocation('a'), { volumeM3: 1.999 })], ['volume-not-accounted']],
  [
    'the same holder’s two outlets each for itself',
    (w) => [
      a(w),
      w.turn('a', 'middle', 700, 20),
      set(w.input.allocations[0]!, { volumeM3: 3 }),
      set(w.input.allocations[1]!, { volumeM3: 1 }),
    ],
    ['volume-not-accounted', 'volume-not-accounted'],
  ],
  [
    'nobody’s water left over',
    (w) => [a(w), b(w, 700), w.result.unplacedM3.push(rest('a', 'middle', 1))],
    ['unplaced-without-allocation'],
  ],
]

describe('the judge: a turn', () => {
  it.each(alone)('%s', (_, plan, expected) => expect(judged(plan)).toEqual(expected))
})

describe('the judge: hours closed', () => {
  it.each(closures)('%s', (_, plan, expected) => expect(judged(plan)).toEqual(expected))
})

describe('the judge: two turns', () => {
  it.each(beside)('%s', (_, plan, expected) => expect(judged(plan)).toEqual(expected))
})

describe('the judge: water told', () => {
  it.each(sums)('%s', (_, plan, expected) => expect(judged(plan)).toEqual(expected))
})

function judged(plan: (week: ByHand) => unknown): string[] {
  const week = byHand()
  plan(week)
  return codesOf(checkTimetable(week))
}
