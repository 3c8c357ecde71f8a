import { describe, expect, it } from 'vitest'
import { checkReshare } from '../../../domain/rotation/day/check-reshare.ts'
import type { ResharedTurn } from '../../../domain/rotation/day/reshare.ts'
import { WEEK_ON } from '../rule/week.ts'
import { atOnce, type Day, day, laid, set, stood } from './judged-day.ts'

const filling = ({ input }: Day, minutes: number) => set(input.inputs.turnFacts!, { fillingMinutes: { x: minutes } })
const longest = ({ input }: Day, maxTurnMinutes: number) => set(input.rules!, { maxTurnMinutes })
const holder = ({ input }: Day, fromHour: number, toHour: number) =>
  set(input.inputs.turnFacts!, { noTurnHours: [{ plotId: 'a', on: WEEK_ON, fromHour, toHour, words: '' }] })
const running = (w: Day) => stood(w, 'a', 'x', 590, 30)
const toCome = (w: Day, startMinute = 620) => stood(w, 'a', 'x', startMinute, 20)

type Case = [what: string, plan: (w: Day) => unknown, said: string[]]

const timed: Case[] = [
  ['later than agreed', (w) => laid(w, toCome(w), 700, 20), []],
  ['when the day changes', (w) => laid(w, toCome(w), 600, 20), []],
  ['a minute before', (w) => laid(w, toCome(w), 599, 20), ['turn-while-closed']],
  ['to the pump’s end', (w) => laid(w, toCome(w), 1000, 20), []],
  ['a minute beyond', (w) => laid(w, toCome(w), 1001, 20), ['pump-gives-nothing', 'volume-beyond-flow']],
  ['when the pump runs again', (w) => [set(w.input, { downUntilMinute: 640 }), laid(w, toCome(w), 640, 20)], []],
  [
    'a minute sooner',
    (w) => [set(w.input, { downUntilMinute: 640 }), laid(w, toCome(w), 639, 20)],
    ['turn-while-closed'],
  ],
  ['as short as the shortest', (w) => laid(w, toCome(w), 620, 10), []],
  ['a minute shorter', (w) => laid(w, toCome(w), 620, 9), ['turn-too-short']],
  ['shorter than that where it begins just now', (w) => laid(w, toCome(w, 600), 600, 9), ['turn-too-short']],
  ['a minute only, running', (w) => laid(w, running(w), 600, 1), []],
  [
    'called to a minute that can still be',
    (w) => [set(w.input, { callableFromMinute: 605 }), laid(w, toCome(w), 605, 20)],
    [],
  ],
  [
    'called a minute too late',
    (w) => [set(w.input, { callableFromMinute: 605 }), laid(w, toCome(w), 604, 20)],
    ['called-too-late'],
  ],
  [
    'at the agreed time, though that is soon',
    (w) => [set(w.input, { callableFromMinute: 650 }), laid(w, toCome(w), 620, 20)],
    [],
  ],
  [
    'a minute before the agreed time',
    (w) => [set(w.input, { callableFromMinute: 650 }), laid(w, toCome(w), 619, 20)],
    ['called-too-late'],
  ],
  [
    'running on, though nobody could be called',
    (w) => [set(w.input, { callableFromMinute: 650 }), laid(w, running(w), 600, 20)],
    [],
  ],
  ['as long as the longest, with what ran before', (w) => [longest(w, 30), laid(w, running(w), 600, 20)], []],
  ['a minute longer', (w) => [longest(w, 29), laid(w, running(w), 600, 20)], ['turn-above-longest']],
  [
    'as long, without the minutes in which the pump stood',
    (w) => [longest(w, 30), set(w.input, { downUntilMinute: 640 }), laid(w, running(w), 640, 20)],
    [],
  ],
  [
    'a minute longer than that',
    (w) => [longest(w, 29), set(w.input, { downUntilMinute: 640 }), laid(w, running(w), 640, 20)],
    ['turn-above-longest'],
  ],
  ['to come, as long as the longest', (w) => [longest(w, 20), laid(w, toCome(w), 620, 20)], []],
  ['in hours that touch those of its holder', (w) => [holder(w, 8, 10.5), laid(w, toCome(w, 640), 630, 20)], []],
  ['a minute within them', (w) => [holder(w, 8, 10.5), laid(w, toCome(w, 640), 629, 20)], ['holder-cannot']],
  ['within them where it stood so', (w) => [holder(w, 8, 10.5), laid(w, toCome(w, 629), 620, 20)], []],
  [
    'not within them where it stood just after',
    (w) => [holder(w, 8, 10.5), laid(w, toCome(w, 630), 620, 20)],
    ['holder-cannot'],
  ],
  [
    'not within them where it stood just before',
    (w) => [holder(w, 10.5, 11), laid(w, toCome(w, 610), 620, 20)],
    ['holder-cannot'],
  ],
]

const filled: Case[] = [
  ['a running pump may have filled before', (w) => [filling(w, 20), laid(w, toCome(w), 600, 20)], []],
  [
    'a pump that runs again just now too',
    (w) => [filling(w, 20), set(w.input, { downUntilMinute: 600 }), laid(w, toCome(w), 605, 20)],
    [],
  ],
  [
    'one that runs again in a minute has not',
    (w) => [filling(w, 20), set(w.input, { downUntilMinute: 601 }), laid(w, toCome(w), 620, 20)],
    ['line-not-filled'],
  ],
  [
    'but for twenty minutes more',
    (w) => [filling(w, 20), set(w.input, { downUntilMinute: 601 }), laid(w, toCome(w), 621, 20)],
    [],
  ],
  [
    'nor one that rests at this hour',
    (w) => [filling(w, 20), rests(w), laid(w, toCome(w), 670, 20)],
    ['line-not-filled'],
  ],
  [
    'a running turn’s is full',
    (w) => [filling(w, 20), set(w.input, { downUntilMinute: 601 }), laid(w, running(w), 601, 10)],
    [],
  ],
]

const walked: Case[] = [
  [
    'after the walk from one that has ended',
    (w) => [stood(w, 'e', 'y', 570, 30, false), laid(w, toCome(w), 605, 20)],
    [],
  ],
  [
    'a minute before it is over',
    (w) => [stood(w, 'e', 'y', 570, 30, false), laid(w, toCome(w), 604, 20)],
    ['too-many-outlets-open'],
  ],
  ['from one that would have gone on', (w) => [stood(w, 'e', 'y', 570, 90, false), laid(w, toCome(w), 605, 20)], []],
  [
    'a minute before that is over',
    (w) => [stood(w, 'e', 'y', 570, 90, false), laid(w, toCome(w), 604, 20)],
    ['too-many-outlets-open'],
  ],
  ['from one that ended before', (w) => [stood(w, 'e', 'y', 570, 25, false), laid(w, toCome(w), 600, 20)], []],
  [
    'from one that would have begun just now',
    (w) => [stood(w, 'e', 'y', 600, 30, false), laid(w, toCome(w), 600, 20)],
    [],
  ],
  [
    'with the filling, after the walk',
    (w) => [filling(w, 7), stood(w, 'e', 'y', 570, 30, false), laid(w, toCome(w), 612, 20)],
    [],
  ],
  [
    'with the filling, a minute sooner',
    (w) => [filling(w, 7), stood(w, 'e', 'y', 570, 30, false), laid(w, toCome(w), 611, 20)],
    ['too-many-outlets-open'],
  ],
  [
    'at the outlet that has ended, two lines at once',
    (w) => [atOnce(w, 2), stood(w, 'e', 'x', 570, 30, false), laid(w, toCome(w), 604, 20)],
    ['outlet-held-twice'],
  ],
  [
    'at the outlet after the walk, two lines at once',
    (w) => [atOnce(w, 2), stood(w, 'e', 'x', 570, 30, false), laid(w, toCome(w), 605, 20)],
    [],
  ],
  [
    'beside one that has ended, two lines at once',
    (w) => [atOnce(w, 2), stood(w, 'e', 'y', 570, 30, false), laid(w, toCome(w), 600, 20)],
    [],
  ],
  [
    'as a third after two that have ended',
    (w) => [
      atOnce(w, 2),
      stood(w, 'e', 'y', 570, 30, false),
      stood(w, 'f', 'z', 570, 30, false),
      laid(w, toCome(w), 604, 20),
    ],
    ['too-many-outlets-open'],
  ],
]

const counted: Case[] = [
  ['a litre that nobody has', (w) => laid(w, toCome(w), 620, 15, { shortM3: 0.501 }), ['volume-not-accounted']],
  [
    'water written into a turn that does not come',
    (w) => set(laid(w, toCome(w), 620, 20).now!, { volumeM3: 2.001 }),
    ['volume-not-accounted'],
  ],
  [
    'a turn written down to another end',
    (w) => set(laid(w, toCome(w), 620, 20).now!, { endMinute: 641 }),
    ['stretch-outside-turn'],
  ],
  [
    'a turn written down from a later start',
    (w) => set(laid(w, toCome(w), 620, 20).now!, { startMinute: 621 }),
    ['stretch-outside-turn'],
  ],
  ['nothing, where nothing comes any more', (w) => laid(w, toCome(w), 0, 0, { now: null, stretch: null }), []],
  [
    'drawn though not begun',
    (w) => laid(w, toCome(w), 620, 10, { drawnM3: 0.5 }),
    ['drawn-untrue', 'volume-not-accounted'],
  ],
  [
    'drawn by nobody’s word',
    (w) => laid(w, running(w), 600, 20, { drawnBy: null }),
    ['drawn-untrue', 'volume-not-accounted'],
  ],
  ['by a log that says nothing', (w) => logs(w, undefined, { drawnBy: 'log' }), ['drawn-untrue']],
  ['by the log, as it says', (w) => logs(w, 0.7, { drawnM3: 0.7 }), []],
  ['a litre less than the log says', (w) => logs(w, 0.701, { drawnM3: 0.7 }), ['drawn-untrue']],
  ['by the log, no more than the turn', (w) => logs(w, 9, { drawnM3: 3, carriedM3: 0, stretch: null, now: null }), []],
  [
    'by the plan, though the log has it',
    (w) => logs(w, 1, { drawnM3: 1, drawnBy: 'plan' }),
    ['drawn-untrue', 'volume-not-accounted'],
  ],
]

function rests({ input }: Day): void {
  set(input, { flowM3PerHByHour: input.flowM3PerHByHour.map((flow, hour) => (hour === 10 ? 0 : flow)) })
}

/** A running turn of 3 m3 that the log has at so much, the rest of which comes. */
function logs(w: Day, loggedM3: number | undefined, more: Partial<ResharedTurn>): void {
  if (loggedM3 !== undefined) set(w.input, { loggedM3: { a: loggedM3 } })
  const carriedM3 = more.carriedM3 ?? 2
  const was = running(w)
  const turn = laid(w, was, 600, 20, { drawnBy: 'log', ...more, carriedM3 })
  if (turn.now) set(turn.now, { volumeM3: carriedM3 })
}

function judged(plan: (w: Day) => unknown): string[] {
  const w = day()
  plan(w)
  const reshared = { remainingM3: 0, turns: w.turns }
  return checkReshare({ input: w.input, reshared })
    .map(({ code }) => code)
    .toSorted()
}

describe('the judge of a day shared anew: when a turn comes', () => {
  it.each(timed)('%s', (_, plan, expected) => expect(judged(plan)).toEqual(expected))
})

describe('the judge of a day shared anew: the line', () => {
  it.each(filled)('%s', (_, plan, expected) => expect(judged(plan)).toEqual(expected))
})

describe('the judge of a day shared anew: the walk', () => {
  it.each(walked)('%s', (_, plan, expected) => expect(judged(plan)).toEqual(expected))
})

describe('the judge of a day shared anew: what is counted', () => {
  it.each(counted)('%s', (_, plan, expected) => expect(judged(plan)).toEqual(expected))
})
