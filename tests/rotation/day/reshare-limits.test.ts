import { describe, expect, it } from 'vitest'
import { checkReshare } from '../../../domain/rotation/day/check-reshare.ts'
import { claimOf, reshareDay } from '../../../domain/rotation/day/reshare.ts'
import { WEEK_ON } from '../rule/week.ts'
import { atOnce, type Day, day, laid, set, stood } from './judged-day.ts'

/** By the list: whose turn, from when to when, with how many m3; and what had been drawn. At 10:00, 100 litres a minute. */
const shared = (plan: (w: Day) => unknown) => {
  const w = day()
  plan(w)
  const input = { ...w.input, order: 'queue' as const }
  const reshared = reshareDay(input)
  expect(checkReshare({ input, reshared })).toEqual([])
  return reshared.turns.map(({ was, now, drawnM3 }) => [
    was.id,
    now && [now.startMinute, now.endMinute, now.volumeM3],
    drawnM3,
  ])
}

const cannot = ({ input }: Day, plotId: string, fromHour: number, toHour: number) =>
  set(input.inputs.turnFacts!, { noTurnHours: [{ plotId, on: WEEK_ON, fromHour, toHour, words: '' }] })

const CASES: [what: string, plan: (w: Day) => unknown, expected: unknown[]][] = [
  [
    'whoever has all its water by the log has no turn any more',
    (w) => [stood(w, 'a', 'x', 590, 30), stood(w, 'b', 'y', 640, 20), set(w.input, { loggedM3: { a: 3 } })],
    [['b', [640, 660, 2], 0]],
  ],
  [
    'a litre less by the log is still to come',
    (w) => [stood(w, 'a', 'x', 590, 30), set(w.input, { loggedM3: { a: 2.999 } })],
    [['a', [600, 601, 0.001], 2.999]],
  ],
  [
    'a turn that falls away before its first minute leaves no walk behind it',
    (w) => [stood(w, 'gone', 'x', 600, 30, false), stood(w, 'b', 'x', 600, 20)],
    [['b', [600, 620, 2], 0]],
  ],
  [
    'one that fell away after a minute does',
    (w) => [stood(w, 'gone', 'x', 599, 30, false), stood(w, 'b', 'x', 600, 20)],
    [['b', [605, 625, 2], 0]],
  ],
  [
    'of two that began together the first on the list had drawn the water that the pump gave',
    // Written the other way round; 100 litres a minute from 9:30 on, all through the first.
    (w) => {
      atOnce(w, 2)
      const [b, a] = [stood(w, 'b', 'y', 570, 60), stood(w, 'a', 'x', 570, 60)]
      set(a, { order: 1 })
      set(b, { order: 2 })
      drawnFromEight(w)
      set(w.input, { loggedM3: { a: 6 } })
    },
    [['b', [600, 660, 6], 0]],
  ],
  [
    'a turn that waits for its holder until noon waits also for whoever has the one line then',
    (w) => {
      down(w, 540, 600)
      cannot(w, 'a', 10, 12)
      stood(w, 'a', 'x', 480, 120)
      stood(w, 'b', 'y', 605, 30)
      stood(w, 'c', 'y', 640, 120)
    },
    // c has the line from 10:40 to 12:40, five minutes of walk; an hour of a's two had been drawn before nine.
    [
      ['a', [480, 825, 12], 6],
      ['b', [605, 635, 3], 0],
      ['c', [640, 760, 12], 0],
    ],
  ],
  [
    'and for whoever has its outlet, where another line is free',
    (w) => {
      atOnce(w, 2)
      down(w, 540, 600)
      cannot(w, 'a', 10, 12)
      stood(w, 'a', 'x', 480, 120)
      stood(w, 'b', 'y', 605, 30)
      stood(w, 'c', 'x', 640, 120)
    },
    [
      ['a', [480, 825, 12], 6],
      ['b', [605, 635, 3], 0],
      ['c', [640, 760, 12], 0],
    ],
  ],
]

/** What the pumps were planned to give, 6 m3 an hour from eight. */
function drawnFromEight({ input }: Day): void {
  set(input.inputs, {
    pumps: input.inputs.pumps.map((pump) => ({
      ...pump,
      flowM3PerHByDay: { [WEEK_ON]: Array.from({ length: 24 }, (_, hour) => (hour >= 8 && hour < 17 ? 6 : 0)) },
    })),
  })
}

/** The day changed at nine, when the pump stopped until ten. */
function down(w: Day, fromMinute: number, downUntilMinute: number): void {
  drawnFromEight(w)
  set(w.input, { fromMinute, downUntilMinute })
}

describe('the rest of a day, to the minute', () => {
  it.each(CASES)('%s', (_, plan, expected) => expect(shared(plan)).toEqual(expected))
})

describe('the judge of two lines that go on together', () => {
  const both = (sinceA: number, sinceB: number, more: { carriedM3: number }[]) => {
    const w = day()
    atOnce(w, 2)
    const [a, b] = [stood(w, 'a', 'x', sinceA, 60), stood(w, 'b', 'y', sinceB, 60)]
    // Told the other way round than they stand on the list.
    laid(w, b, 600, 20, more[1])
    laid(w, a, 600, 10, more[0])
    const codes = checkReshare({ input: w.input, reshared: { remainingM3: 0, turns: w.turns } })
    return codes.map(({ code, values }) => `${code} ${String(values.turnId)}`)
  }

  it('counts the pump’s 100 litres a minute for whoever stood first on the list', () => {
    // For ten minutes all is a's; b has the ten after them.
    const right = [{ carriedM3: 1 }, { carriedM3: 1 }]
    expect([both(580, 590, right), both(590, 590, right)]).toEqual([[], []])
    const tooMuch = [{ carriedM3: 1 }, { carriedM3: 1.1 }]
    for (const since of [580, 590]) expect(both(since, 590, tooMuch)).toEqual(['volume-beyond-flow b'])
  })
})

it('a plot with several claims is served with the first of them, and one without after all', () => {
  const turn = stood(day(), 'p', 'x', 620, 20)
  const claims = [2, 1, 3].map((tier) => ({
    ...{ id: `p/${tier}`, outletIds: ['x'], needM3: 2, entitledM3: 5, receivedM3: 1, tier },
  }))
  const input = { results: { allocationInput: { weirs: [], pumps: [], outlets: [], claims } }, weekM3ByPlot: {} }
  const of = (plotId: string) => claimOf(input, [{ turn: { ...turn, plotId }, restM3: 2, mostM3: 1.5 }], plotId)
  expect(of('p')).toMatchObject({ tier: 1, entitledM3: 15, receivedM3: 3, needM3: 1.5 })
  expect(of('q')).toMatchObject({ tier: 4, entitledM3: 0, receivedM3: 0 })
})
