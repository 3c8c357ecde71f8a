import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { checkReshare } from '../../../domain/rotation/day/check-reshare.ts'
import { type ResharedDay, reshareDay } from '../../../domain/rotation/day/reshare.ts'
import type { ReshareInput } from '../../../domain/rotation/day/reshare-input.ts'
import { planWeek, type WeekInputs } from '../../../domain/rotation/draft/plan.ts'
import type { PlannedTurn } from '../../../domain/rotation/timetable/types.ts'
import { runs } from '../../support/runs.ts'
import { ruleWeek, WEEK_ON } from '../rule/week.ts'

const PUMP = 'pump-weir'
const OUTLETS = ['outlet-weir', 'outlet-two', 'outlet-three']

interface Drawn {
  needs: number[]
  atOnce: number
  flow: number
  filling: number[]
  apart: boolean
  cannot: { plot: number; from: number; hours: number }[]
  fromMinute: number
  part: number
  downMinutes: number
  takenPart: number
  logged: boolean
  maxTurnMinutes: number
}

const days = fc.record({
  needs: fc.array(fc.integer({ min: 500, max: 20_000 }), { minLength: 2, maxLength: 7 }),
  atOnce: fc.integer({ min: 1, max: 3 }),
  flow: fc.integer({ min: 2, max: 14 }),
  filling: fc.array(fc.constantFrom(0, 0, 5, 12), { minLength: 3, maxLength: 3 }),
  apart: fc.boolean(),
  cannot: fc.array(
    fc.record({
      plot: fc.integer({ min: 0, max: 6 }),
      from: fc.integer({ min: 6, max: 15 }),
      hours: fc.constantFrom(0.5, 1, 2, 4),
    }),
    { maxLength: 4 },
  ),
  fromMinute: fc.integer({ min: 0, max: 1100 }),
  part: fc.constantFrom(0.3, 0.5, 0.77, 1),
  downMinutes: fc.constantFrom(0, 0, 37, 120, 1440),
  takenPart: fc.constantFrom(0, 0.5, 1),
  logged: fc.boolean(),
  maxTurnMinutes: fc.constantFrom(1440, 1440, 150),
})

/** Days that a draw found once, each kept as an example of its own. */
const FOUND: [string, Drawn][] = [
  [
    'a turn that is cut short by the hours of its holder and then by whoever took its line meanwhile',
    {
      ...{ needs: [500, 9584, 500, 1651], atOnce: 1, flow: 5, filling: [5, 0, 12], apart: false },
      ...{ cannot: [{ plot: 1, from: 14, hours: 0.5 }], fromMinute: 691, part: 0.3, downMinutes: 120 },
      ...{ takenPart: 0, logged: false, maxTurnMinutes: 1440 },
    },
  ],
]

/** A day of a week as it was planned, changed at some minute. */
function changedDay(drawn: Drawn): ReshareInput {
  const { needs, fromMinute } = drawn
  const inputs = weekOf(drawn)
  const week = planWeek(inputs)
  const turns = week.turns.filter((turn) => turn.on === WEEK_ON)
  const isTaken = (turn: PlannedTurn, at: number) =>
    turn.endMinute <= fromMinute || at < turns.length * drawn.takenPart - 1
  const openIds = new Set(turns.filter((turn, at) => !isTaken(turn, at)).map((turn) => turn.id))
  const running = turns.filter((turn) => openIds.has(turn.id) && turn.startMinute < fromMinute)
  const loggedM3 = Object.fromEntries(running.map((turn) => [turn.id, Math.floor(turn.volumeM3 * 600) / 1000]))
  return {
    inputs,
    results: week,
    on: WEEK_ON,
    pumpId: PUMP,
    fromMinute,
    flowM3PerHByHour: inputs.pumps[0]!.flowM3PerHByDay[WEEK_ON]!.map((flow) => flow * drawn.part),
    downUntilMinute: drawn.downMinutes === 0 ? 0 : Math.min(1440, fromMinute + drawn.downMinutes),
    turns,
    openIds,
    ...(drawn.logged ? { loggedM3 } : {}),
    weekM3ByPlot: Object.fromEntries(
      needs.map((_, at) => [plot(at), sum(week.turns.filter((turn) => turn.plotId === plot(at)))]),
    ),
    rules: { minTurnMinutes: 10, changeoverMinutes: 5, gridMinutes: 5, maxTurnMinutes: drawn.maxTurnMinutes },
  }
}

function weekOf({ needs, atOnce, flow, filling, apart, cannot }: Drawn): WeekInputs {
  const plots = Object.fromEntries(
    needs.map((litres, at) => [plot(at), { needM3: litres / 1000, outletIds: [outlet(at)] }]),
  )
  const base = ruleWeek({ plots, weirs: { weir: 1000 } })
  const byHour = Array.from({ length: 24 }, (_, hour) => (hour >= 7 && hour < 17 ? flow * (hour < 10 ? 0.6 : 1) : 0))
  return {
    ...base,
    days: [WEEK_ON],
    pumps: base.pumps.map((one) => ({ ...one, outletsAtOnce: atOnce, flowM3PerHByDay: { [WEEK_ON]: byHour } })),
    outlets: OUTLETS.map((id, at) => ({ id, number: at + 1, name: id, pumpId: PUMP, flowM3PerH: 4 + 2 * at })),
    turnFacts: {
      pumps: [],
      noTurnHours: cannot.map(({ plot: at, from, hours }) => {
        return { plotId: plot(at), on: WEEK_ON, fromHour: from, toHour: from + hours, words: '' }
      }),
      linePositions: {},
      notTogether: apart ? [[OUTLETS[0]!, OUTLETS[1]!]] : [],
      fillingMinutes: Object.fromEntries(OUTLETS.map((id, at) => [id, filling[at]!])),
      burdens: {},
      officerPlotIds: [],
      changes: [],
    },
  }
}

const plot = (at: number) => `p${at}`
const outlet = (at: number) => OUTLETS[at % 3]!
const sum = (turns: readonly PlannedTurn[]) => turns.reduce((total, turn) => total + turn.volumeM3, 0)
const codes = (input: ReshareInput, reshared: ResharedDay) => checkReshare({ input, reshared }).map(({ code }) => code)

describe('the judge of a day shared anew', () => {
  it('finds nothing in any day that was shared anew, whatever changed and whenever', () => {
    fc.assert(
      fc.property(days, (drawn) => {
        const input = changedDay(drawn)
        expect(checkReshare({ input, reshared: reshareDay(input) })).toEqual([])
      }),
      runs(150),
    )
  })

  it.each(FOUND)('finds nothing in %s, which was once laid out wrong', (_name, drawn) => {
    const input = changedDay(drawn)
    expect(checkReshare({ input, reshared: reshareDay(input) })).toEqual([])
  })

  it('gives water to somebody wherever somebody could still have it', () => {
    fc.assert(
      fc.property(days, (drawn) => {
        const input = changedDay(drawn)
        const reshared = reshareDay(input)
        if (reshared.turns.some(({ carriedM3 }) => carriedM3 > 0)) return
        const alone = reshared.turns.filter(({ was }) => {
          const only = reshareDay({ ...input, openIds: new Set([was.id]) })
          return only.turns.some(({ carriedM3 }) => carriedM3 > 0.01)
        })
        expect(alone).toEqual([])
      }),
      runs(60),
    )
  })

  it('does not depend on the order in which the turns are handed in', () => {
    fc.assert(
      fc.property(days, (drawn) => {
        const input = changedDay(drawn)
        expect(reshareDay({ ...input, turns: input.turns.toReversed() })).toEqual(reshareDay(input))
      }),
      runs(40),
    )
  })
})

describe('a fault planted in a day shared anew', () => {
  const drawn: Drawn = {
    needs: [9000, 9000, 9000, 9000],
    atOnce: 1,
    flow: 8,
    filling: [0, 5, 0],
    apart: true,
    cannot: [{ plot: 1, from: 15, hours: 1 }],
    fromMinute: 9 * 60,
    part: 0.5,
    downMinutes: 0,
    takenPart: 0,
    logged: false,
    maxTurnMinutes: 150,
  }
  const input = changedDay(drawn)
  const sound = reshareDay(input)
  const at = sound.turns.findIndex(({ was, carriedM3 }) => was.startMinute >= drawn.fromMinute && carriedM3 > 0)

  const planted = (
    change: (turn: ResharedDay['turns'][number]) => Partial<ResharedDay['turns'][number]>,
  ): ResharedDay => ({
    ...sound,
    turns: sound.turns.map((turn, index) => (index === at ? { ...turn, ...change(turn) } : turn)),
  })
  const moved = (minutes: number, longer = 0) =>
    planted(({ now, stretch }) => {
      const startMinute = stretch!.startMinute + minutes
      const endMinute = stretch!.endMinute + minutes + longer
      return { stretch: { startMinute, endMinute }, now: { ...now!, startMinute, endMinute } }
    })

  it('is sound before', () => expect(codes(input, sound)).toEqual([]))

  it('is caught: water that never comes', () => {
    const more = planted(({ now, carriedM3, shortM3 }) => {
      return { carriedM3: carriedM3 + 1, shortM3: shortM3 - 1, now: { ...now!, volumeM3: now!.volumeM3 + 1 } }
    })
    expect(codes(input, more)).toContain('volume-beyond-flow')
  })

  it('is caught: a litre lost between the turns', () => {
    expect(
      codes(
        input,
        planted(({ shortM3 }) => ({ shortM3: shortM3 + 0.001 })),
      ),
    ).toContain('volume-not-accounted')
    expect(codes(input, { ...sound, turns: sound.turns.filter((_, index) => index !== at) })).toContain(
      'volume-not-accounted',
    )
  })

  it('is caught: a start off the grid, too short a turn, too long a turn', () => {
    expect(codes(input, moved(2))).toContain('start-off-grid')
    const { stretch } = sound.turns[at]!
    const minutes = stretch!.endMinute - stretch!.startMinute
    expect(codes(input, moved(0, 5 - minutes))).toContain('turn-too-short')
    expect(codes(input, moved(0, 151 - minutes))).toContain('turn-above-longest')
  })

  it('is caught: two turns on one line', () => {
    expect(codes(input, moved(-30))).toContain('too-many-outlets-open')
  })

  it('is caught: hours that the holder cannot, met only by the end of the turn', () => {
    const { was, stretch } = sound.turns[at]!
    const hours = { plotId: was.plotId, on: WEEK_ON, fromHour: (stretch!.endMinute - 5) / 60, toHour: 17, words: '' }
    const withHours = { ...input.inputs, turnFacts: { ...input.inputs.turnFacts!, noTurnHours: [hours] } }
    const late = { ...input, inputs: withHours }
    expect(was.endMinute).toBeLessThanOrEqual(hours.fromHour * 60) // The turn as it stood kept clear of them.
    expect(codes(late, sound)).toContain('holder-cannot')
  })

  it('is caught: outlets that must not meet, met only by the end of the turn', () => {
    const both = { ...input.inputs, pumps: input.inputs.pumps.map((pump) => ({ ...pump, outletsAtOnce: 2 })) }
    const two = { ...input, inputs: both }
    const next = sound.turns[at + 1]!
    const until = next.stretch!.startMinute + 5
    const longer = until - sound.turns[at]!.stretch!.endMinute
    const facts = {
      ...both.turnFacts!,
      notTogether: [[sound.turns[at]!.was.outletId, next.was.outletId]] as [string, string][],
    }
    expect(codes({ ...two, inputs: { ...both, turnFacts: facts } }, moved(0, longer))).toContain('outlets-not-together')
  })

  it('is caught: a turn before the pump runs again; one set on a day without turns by hand stays so', () => {
    const closures = [{ on: WEEK_ON, pumpId: PUMP, words: 'rest' }]
    const closed = { ...input, inputs: { ...input.inputs, closures } }
    // A day without turns on which turns stand was set aside by the committee, so it stays set aside.
    expect(codes(closed, sound)).toEqual([])
    expect(codes({ ...input, downUntilMinute: sound.turns[at]!.stretch!.startMinute + 5 }, sound)).toContain(
      'turn-while-closed',
    )
  })

  it('is caught: a drawn volume that the log contradicts', () => {
    const running = sound.turns.find(({ was }) => was.startMinute < drawn.fromMinute)!
    const logged = { ...input, loggedM3: { [running.was.id]: 0.5 } }
    expect(codes(logged, sound)).toContain('drawn-untrue')
  })
})
