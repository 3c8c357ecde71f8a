import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { checkTimetable } from '../../../domain/rotation/timetable/check/timetable.ts'
import { directFirst } from '../../../domain/rotation/timetable/direct-first.ts'
import type { KnownParts } from '../../../domain/rotation/timetable/known.ts'
import type { TimetableInput } from '../../../domain/rotation/timetable/types.ts'
import { runs } from '../../support/runs.ts'
import { randomTankWeeks } from '../tank-turn/examples.ts'
import { allocation, closure, flowFrom, input, MONDAY, TUESDAY } from './layout/two-days.ts'

/** Two pumps of 10 litres a minute from 8 to 10 on both days, `x` on the first, `y` on the second; `z` hangs on a tank of the first. */
function week(more: Partial<TimetableInput> = {}): TimetableInput {
  const flowM3PerHByDay = { [MONDAY]: flowFrom(8, 10, 10), [TUESDAY]: flowFrom(8, 10, 10) }
  return input({
    pumps: ['p', 'q'].map((id) => ({ id, flowM3PerHByDay })),
    outlets: [
      { id: 'x', pumpId: 'p', flowM3PerH: 0.6 },
      { id: 'y', pumpId: 'q', flowM3PerH: 0.6 },
      { id: 'z', pumpId: 'p', flowM3PerH: 0.6, tankId: 't' },
    ],
    tanks: [
      ...[
        { id: 't', pumpId: 'p', capacityM3: 2, floorM3: 0, startM3: 1, gravityHours: [{ fromHour: 15, toHour: 20 }] },
      ],
      ...[{ id: 'far', pumpId: 'q', capacityM3: 2, floorM3: 0, startM3: 0 }],
    ],
    ...more,
  })
}
const claim = (id: string, outletId: string, litres: number, more: object = {}) =>
  allocation({ claimId: id, plotId: id, outletId, volumeM3: litres / 1000, ...more })

describe('the parts of a week, pump by pump and tank by tank', () => {
  it('are one list a day for each pump, with the places and hard hours of that list', () => {
    const work = week({
      allocations: [
        claim('a', 'x', 300),
        claim('b', 'y', 300),
        claim('c', 'z', 300),
        claim('d', 'z', 600, { canNot: [{ on: MONDAY }] }),
      ],
    })
    const result = directFirst(work, { effort: 0.1 })
    expect(checkTimetable({ input: work, result })).toEqual([])
    const said = result.turns.map((turn) => [turn.claimId, turn.pumpId, turn.on, turn.startMinute / 60, turn.order])
    expect(said).toEqual([
      ['a', 'p', MONDAY, 8, 1],
      ['b', 'q', MONDAY, 8, 1],
      ['c', 'p', MONDAY, 15, 2],
      ['d', 'p', TUESDAY, 15, 1],
    ])
    expect(result.turns.map(({ burdens }) => burdens)).toEqual([[], [], ['last'], []])
  })

  it('stand by the clock, those of one minute by pump and list, and what a tank gives at dawn before all', () => {
    const work = week({
      allocations: [claim('a', 'y', 300), claim('b', 'x', 300), claim('c', 'x2', 300), claim('d', 'z', 300)],
      together: [{ pumpId: 'p', atMost: 2 }],
    })
    work.outlets.push({ id: 'x2', pumpId: 'p', flowM3PerH: 0.3 })
    work.pumps = work.pumps.map(({ id }) => ({ id, flowM3PerHByDay: { [MONDAY]: flowFrom(8, 10, 15) } }))
    work.tanks![0]!.gravityHours = [{ fromHour: 6, toHour: 7 }]
    const result = directFirst(work, { effort: 0.1 })
    expect(checkTimetable({ input: work, result })).toEqual([])
    expect(result.turns.map((turn) => [turn.claimId, turn.startMinute / 60, turn.order])).toEqual([
      ['d', 6, 1],
      ['b', 8, 2],
      ['c', 8, 3],
      ['a', 8, 1],
    ])
  })

  it('name what finds no place by claim and outlet', () => {
    const outlets = ['x', 'z', 'b', 'y'].map((id, at) => ({ id, pumpId: at < 2 ? 'p' : 'q', flowM3PerH: 0 }))
    const asked = [claim('2', 'x', 1), claim('1', 'z', 1), claim('2', 'b', 1), claim('1', 'y', 1), claim('3', 'x', 1)]
    const { unplacedM3 } = directFirst(week({ allocations: asked, outlets, tanks: [] }), { effort: 0.1 })
    expect(unplacedM3.map(({ claimId, outletId }) => `${claimId} ${outletId}`)).toEqual([
      '1 y',
      '1 z',
      '2 b',
      '2 x',
      '3 x',
    ])
  })

  it('say of each pump, whichever way its turns come, what is late and that its tail waits', () => {
    const notes = (places: number[], latestOn: (string | undefined)[], more: Partial<TimetableInput> = {}) => {
      const shut = [{ on: MONDAY }]
      const work = week({
        allocations: [
          claim('a', 'x', 300, { linePosition: places[0], latestOn: latestOn[0] }),
          claim('b', 'y', 300, { linePosition: 9, latestOn: latestOn[1], canNot: shut }),
          claim('c', 'z', 300, { linePosition: places[1], latestOn: latestOn[2], canNot: shut }),
          claim('d', 'z', 0, { linePosition: 99 }),
        ],
        ...more,
      })
      const result = directFirst(work, { effort: 0.1 })
      expect(checkTimetable({ input: work, result })).toEqual([])
      return result.notes.map((note) => (note.code === 'after-latest-day' ? note.turnId : `tail waits ${note.pumpId}`))
    }
    const none = [undefined, undefined, undefined]
    expect(notes([1, 2], none)).toEqual(['tail waits p'])
    expect(notes([2, 1], none)).toEqual([])
    expect(notes([2, 2], none)).toEqual([])
    expect(notes([2, 1], ['2026-03-01', MONDAY, MONDAY])).toEqual([`a/x/${MONDAY}`, `c/z/${TUESDAY}`, `b/y/${TUESDAY}`])
    expect(notes([2, 1], [MONDAY, TUESDAY, TUESDAY])).toEqual([])
    // Without a walk between them, the tail may begin in the minute in which the head ends.
    const next = {
      rules: { minTurnMinutes: 10, changeoverMinutes: 0 },
      tanks: [{ ...week().tanks![0]!, gravityHours: [{ fromHour: 10, toHour: 20 }] }],
    }
    const full = (litres: number) =>
      notes([1, 2], none, {
        ...next,
        allocations: [claim('a', 'x', litres, { linePosition: 1 }), claim('c', 'z', 300, { linePosition: 2 })],
        week: { startOn: MONDAY, days: [MONDAY] },
      })
    expect([full(1200), full(1100)]).toEqual([['tail waits p'], ['tail waits p']])
    // Who finds no turn at all neither waits nor lets wait.
    expect(notes([1, 2], none, { unavailable: [{ outletId: 'x' }] })).toEqual([])
    expect(notes([1, 2], none, { unavailable: [{ outletId: 'z' }] })).toEqual([])
  })

  it('pass the judge in any week, however few plans are looked at', () => {
    fc.assert(
      fc.property(randomTankWeeks(), (work) => {
        expect(checkTimetable({ input: work, result: directFirst(work, { effort: 0.01 }) })).toEqual([])
      }),
      runs(40),
    )
  })

  it('are kept for the same work in the same hours, and never for hours that somebody else was given', () => {
    const work = week({ allocations: [claim('a', 'x', 300), claim('b', 'y', 300)] })
    const known: KnownParts = new Map()
    const first = directFirst(work, { known })
    expect(known.size).toBe(2)
    const other = { ...work, allocations: [claim('a', 'x', 301), claim('b', 'y', 300)] }
    expect(directFirst(other, { known }).turns).toEqual(directFirst(other).turns)
    expect(known.size).toBe(3)
    const morning = [{ pumpId: 'p', toHour: 9 }]
    const [later] = directFirst(work, { known, unavailable: morning }).turns.filter(({ claimId }) => claimId === 'a')
    expect([first.turns[0]!.startMinute, later!.startMinute, known.size]).toEqual([480, 540, 3])
  })
})

describe('why water finds no place', () => {
  const reason = (own: object, more: Partial<TimetableInput> = {}, unavailable?: TimetableInput['unavailable']) => {
    const work = week({ allocations: [{ ...claim('a', 'x', 300), ...own }], tanks: [], ...more })
    const result = directFirst(work, { effort: 0.1, ...(unavailable ? { unavailable } : {}) })
    return result.unplacedM3.map((one) => `${one.claimId} ${Math.round(one.volumeM3 * 1000)} ${one.reason}`)
  }
  const flows = (monday: number[], tuesday: number[] = []) => ({
    pumps: [{ id: 'p', flowM3PerHByDay: { [MONDAY]: monday, [TUESDAY]: tuesday } }],
  })

  it('is a pump or an outlet that gives nothing all week, and not one dry day', () => {
    expect(reason({}, flows(flowFrom(0, 0, 0)))).toEqual(['a 300 no-flow'])
    expect(reason({}, { outlets: [{ id: 'x', pumpId: 'p', flowM3PerH: 0 }] })).toEqual(['a 300 no-flow'])
    expect(reason({}, flows([], flowFrom(8, 10, 10)))).toEqual([])
    expect(reason({ volumeM3: 1.3 }, flows([], flowFrom(8, 10, 10)))).toEqual(['a 100 hours-too-few'])
  })

  it('is the holder’s or the outlet’s hours where even alone it would not find them, to the litre', () => {
    expect(reason({ canNot: [{ toHour: 24 }] })).toEqual(['a 300 no-open-hours'])
    expect(reason({ volumeM3: 2.4 })).toEqual([])
    expect(reason({ volumeM3: 2.401 })).toEqual(['a 1 hours-too-few'])
    expect(
      reason({ volumeM3: 0.601 }, { rules: { minTurnMinutes: 10, maxTurnMinutes: 30, changeoverMinutes: 5 } }),
    ).toEqual(['a 1 hours-too-few'])
    expect(reason({ volumeM3: 1.201 }, flows(flowFrom(22, 24, 10)))).toEqual(['a 1 hours-too-few'])
    expect(reason({ volumeM3: 0.6 }, flows(flowFrom(8, 10, 5)))).toEqual([])
    expect(reason({ volumeM3: 0.601 }, flows(flowFrom(8, 10, 5)))).toEqual(['a 1 hours-too-few'])
  })

  it('is the others where alone it would find room for all of it', () => {
    const both = (litres: number, at: number) => ({
      ...flows(flowFrom(at, at + 2, 10)),
      allocations: [claim('a', 'x', litres), claim('b', 'x', litres)],
    })
    for (const at of [8, 22]) {
      expect(reason({}, both(1200, at))).toEqual(['b 1200 pump-full'])
      // 55 minutes and five of walk leave an hour; a litre more, and the second begins five minutes later.
      expect(reason({}, both(550, at))).toEqual([])
      expect(reason({}, both(551, at))).toEqual(['b 1 pump-full'])
    }
  })

  it('is told by the hours as given, not by those that are kept for somebody else', () => {
    expect(reason({}, {}, [{ pumpId: 'p' }])).toEqual(['a 300 pump-full'])
    expect(reason({ volumeM3: 2.5 }, {}, [{ pumpId: 'p' }])).toEqual(['a 2500 hours-too-few'])
    expect(reason({}, { unavailable: [{ pumpId: 'p' }] })).toEqual(['a 300 no-open-hours'])
  })
})

it('a closure bears on what it names alone', () => {
  fc.assert(
    fc.property(closure, (shut) => {
      const work = week({ allocations: [claim('b', 'y', 300)], unavailable: [shut] })
      const isOfOther = shut.pumpId === 'p' || shut.outletId === 'x'
      if (isOfOther) expect(directFirst(work).turns).toEqual(directFirst({ ...work, unavailable: [] }).turns)
    }),
    runs(30),
  )
})
