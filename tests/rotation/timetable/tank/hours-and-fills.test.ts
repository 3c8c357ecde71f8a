import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { checkTanks } from '../../../../domain/rotation/timetable/check/tank.ts'
import { inflowsOf, surplusByDay, tankCourse } from '../../../../domain/rotation/timetable/tank/fills.ts'
import { gravityMinutes, pumpLitresByMinute } from '../../../../domain/rotation/timetable/tank/hours.ts'
import { reservedForTanks } from '../../../../domain/rotation/timetable/tank/reserve.ts'
import type { PlannedTurn } from '../../../../domain/rotation/timetable/types.ts'
import { runs } from '../../../support/runs.ts'
import { allocation, closure, flowFrom, input, MINUTES, MONDAY, shuts, TUESDAY } from '../layout/two-days.ts'

describe('a tank’s hours', () => {
  it('lie outside the pump’s and the walk, within its own, and where its pump’s turns are not closed', () => {
    fc.assert(
      fc.property(fc.array(closure, { maxLength: 3 }), fc.boolean(), (unavailable, isOwn) => {
        const gravityHours = isOwn
          ? [
              { fromHour: 5.5, toHour: 7.95 },
              { fromHour: 11, toHour: 20 },
            ]
          : undefined
        const minutes = gravityMinutes(
          input({ unavailable }),
          { pumpId: 'p', ...(gravityHours && { gravityHours }) },
          MONDAY,
        )
        const expected = MINUTES.map((minute) => {
          const besidePump = minute < 475 || minute >= 665
          const own = !isOwn || (minute >= 330 && minute < 477) || (minute >= 660 && minute < 1200)
          return besidePump && own && !unavailable.some((one) => shuts(one, minute)) ? 1 : 0
        })
        expect([...minutes]).toEqual(expected)
        const litres = pumpLitresByMinute(input({ unavailable }), 'p', MONDAY)
        const pumped = MINUTES.map(
          (minute) => minute >= 480 && minute < 660 && !unavailable.some((one) => shuts(one, minute)),
        )
        expect([...litres].map((each) => Math.round(each * 1e6) / 1e6)).toEqual(pumped.map((is) => (is ? 6 : 0)))
      }),
      runs(60),
    )
  })

  it('reserve at the end of each day what its turns ask beyond what stands in it', () => {
    const tank = { id: 't', pumpId: 'p', capacityM3: 0.5, floorM3: 0.1, startM3: 0.2 }
    const days = { [MONDAY]: flowFrom(8, 11, 6), [TUESDAY]: flowFrom(8, 11, 6) }
    const reserved = (askedM3: number, more: object = {}) =>
      reservedForTanks(
        input({
          pumps: [{ id: 'p', flowM3PerHByDay: days }],
          outlets: [
            { id: 'x', pumpId: 'p', flowM3PerH: 1, tankId: 't' },
            { id: 'y', pumpId: 'p', flowM3PerH: 1 },
          ],
          tanks: [{ ...tank, ...more }],
          allocations: [allocation({ volumeM3: askedM3 }), allocation({ outletId: 'y', volumeM3: 9 })],
        }),
      ).map(({ on, fromHour }) => [on, Math.round(fromHour! * 60)])
    // 220 litres and 100 kept, less 200: 120 on two days, 60 each: the last ten minutes before eleven.
    expect(reserved(0.22)).toEqual([
      [MONDAY, 650],
      [TUESDAY, 650],
    ])
    expect(reserved(0.1)).toEqual([])
    expect(reserved(0)).toEqual([])
    // No more than a full tank above its floor: 400 litres, 66 minutes and a part of the next.
    expect(reserved(9)).toEqual([
      [MONDAY, 593],
      [TUESDAY, 593],
    ])
    expect(reserved(9, { capacityM3: 9 })).toEqual([])
  })
})

/** Gravity turns that find too little, though nothing that the direct turns leave was turned away from a tank with room. */
function shortAtFull(turns: readonly PlannedTurn[], capacity: number, start: number): string[] {
  const short: string[] = []
  let level = start
  for (const on of [MONDAY, TUESDAY])
    for (let minute = 0; minute < 1440; minute++) {
      let pumped = on === MONDAY ? (minute >= 480 && minute < 600 ? 6 : 0) : minute >= 480 && minute < 540 ? 2 : 0
      for (const turn of turns.filter((one) => one.on === on && one.outletId !== 'low'))
        if (turn.startMinute <= minute && minute < turn.endMinute)
          pumped -= Math.min(pumped, turn.outletId === 'x' ? 4 : 2)
      level = Math.max(level, Math.min(capacity, level + pumped))
      for (const turn of turns.filter((one) => one.on === on && one.outletId === 'low' && one.startMinute === minute)) {
        level -= Math.round(turn.volumeM3 * 1000)
        if (level < 20) short.push(turn.id)
      }
    }
  return short
}

describe('the filling of tanks', () => {
  it('comes in stretches of the pump’s hours, in whole litres, pauses within them kept', () => {
    const of = (surplus: number[], pump: number[]) =>
      inflowsOf(Float64Array.from(surplus), Float64Array.from(pump)).map(({ startMinute, endMinute, litres }) => [
        startMinute,
        endMinute,
        litres,
      ])
    expect(of([0, 2, 0, 3, 0, 0, 1.5], [4, 4, 4, 4, 4, 0, 4])).toEqual([
      [1, 4, 5],
      [6, 7, 1],
    ])
    expect(of([0.5, 0.4], [4, 4])).toEqual([])
    expect(of([0.5, 0.5], [4, 4])).toEqual([[0, 2, 1]])
    expect(of(Array(1440).fill(1), Array(1440).fill(1))).toEqual([[0, 1440, 1440]])
  })

  const turnAt = fc.record({
    outlet: fc.constantFrom('x', 'y', 'low'),
    at: fc.constantFrom(480, 500, 540),
    minutes: fc.constantFrom(10, 30),
    day: fc.constantFrom(MONDAY, TUESDAY),
    night: fc.constantFrom(300, 700, 720),
    litres: fc.integer({ min: 1, max: 400 }),
  })

  it('passes the judge of tanks, who lives it through, and names the turns that he finds below the floor', () => {
    fc.assert(
      fc.property(
        fc.array(turnAt, { maxLength: 5 }),
        fc.constantFrom(100, 300),
        fc.constantFrom(0, 50),
        (drawn, capacity, start) => {
          const works = input({
            pumps: [{ id: 'p', flowM3PerHByDay: { [MONDAY]: flowFrom(8, 10, 6), [TUESDAY]: flowFrom(8, 9, 2) } }],
            outlets: [
              { id: 'x', pumpId: 'p', flowM3PerH: 0.24 },
              { id: 'y', pumpId: 'p', flowM3PerH: 0.12 },
              { id: 'low', pumpId: 'p', flowM3PerH: 600, tankId: 't' },
            ],
            tanks: [{ id: 't', pumpId: 'p', capacityM3: capacity / 1000, floorM3: 0.02, startM3: start / 1000 }],
          })
          // Of one evening only one turn, so that it is clear whose water is missing.
          const nights = new Set<string>()
          const turns = drawn.flatMap(({ outlet, at, minutes, day, night, litres }, place): PlannedTurn[] => {
            const isLow = outlet === 'low'
            if (isLow && nights.has(`${day} ${night}`)) return []
            if (isLow) nights.add(`${day} ${night}`)
            const startMinute = isLow ? night : at
            return [
              {
                id: `${place}`,
                claimId: 'c',
                plotId: 'c',
                outletId: outlet,
                pumpId: 'p',
                on: day,
                order: place,
                startMinute,
                endMinute: startMinute + (isLow ? 10 : minutes),
                volumeM3: litres / 1000,
                hours: 0,
                burdens: [],
              },
            ]
          })
          const inOrder = turns
            .toSorted((a, b) => a.startMinute - b.startMinute || a.order - b.order)
            .map((turn, order) => ({ ...turn, order }))
          const { fills, shortTurnIds } = tankCourse({ works, turns: inOrder })
          const problems = checkTanks(works, { turns: inOrder, fills, unplacedM3: [], notes: [] })
          const codes = problems.map(({ code }) => code)
          expect(codes.filter((code) => code.startsWith('fill') || code === 'tank-above-capacity')).toEqual([])
          const below = problems.filter(({ code }) => code === 'tank-below-floor').map(({ values }) => values.turnId)
          expect(shortTurnIds.toSorted()).toEqual(below.toSorted())
          // Nor is one short that had enough with every litre let in as it came.
          expect(shortTurnIds.toSorted()).toEqual(shortAtFull(inOrder, capacity, start).toSorted())
          for (const surplus of surplusByDay(works, 'p', inOrder))
            expect(surplus.every((litres) => litres >= 0)).toBe(true)
        },
      ),
      runs(100),
    )
  })
})
