import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { checkReshareTanks, reshareTanks, type TankReshareInput } from '../../../domain/rotation/day/reshare-tank.ts'
import { planWeek } from '../../../domain/rotation/draft/plan.ts'
import { tankWorksOf } from '../../../domain/rotation/draft/tanks.ts'
import { tankCourse } from '../../../domain/rotation/timetable/tank/fills.ts'
import type { WeekInputs } from '../../../domain/rotation/week/inputs.ts'
import { runs } from '../../support/runs.ts'
import { ruleWeek, WEEK_ON } from '../rule/week.ts'

const FLOW = Array.from({ length: 24 }, (_, hour) => (hour >= 8 && hour < 16 ? 3 : 0))

/** Plots a and b hang on a tank of 8 m3 that begins empty; each needs 4 m3. The pump gives 3 m3/h from 8 to 16. */
function tankWeek(): WeekInputs {
  const week = ruleWeek({ plots: { a: { needM3: 4 }, b: { needM3: 4 } } })
  const pumpId = week.pumps[0]!.id
  const tank = {
    id: 'tank',
    number: 1,
    name: 'Hill',
    pumpId,
    areaM2: 4,
    capacityM3: 8,
    floorM3: 0,
    servesStand: false,
    startM3: 0,
    reading: null,
    gravityHours: [{ fromHour: 16, toHour: 24 }],
  }
  return {
    ...week,
    pumps: week.pumps.map((pump) => ({
      ...pump,
      flowM3PerHByDay: Object.fromEntries(week.days.map((day) => [day, FLOW])),
    })),
    outlets: week.outlets.map((outlet) => ({ ...outlet, flowM3PerH: 4, tankId: 'tank' })),
    tanks: [tank],
  }
}

/** The day on which the turns fall, with a pump that gives only this much in each of its hours. */
function lessFlow(inputs: WeekInputs, flowM3PerH: number): TankReshareInput {
  const results = planWeek(inputs)
  const flow = FLOW.map((planned) => Math.min(planned, flowM3PerH))
  const pumps = inputs.pumps.map((pump) => ({ ...pump, flowM3PerHByDay: { ...pump.flowM3PerHByDay, [WEEK_ON]: flow } }))
  const ofDay = results.turns.filter(({ on }) => on === WEEK_ON)
  return {
    inputs: { ...inputs, pumps },
    results,
    on: WEEK_ON,
    turns: results.turns,
    openIds: new Set(ofDay.map(({ id }) => id)),
    weekM3ByPlot: Object.fromEntries(results.turns.map(({ plotId, volumeM3 }) => [plotId, volumeM3])),
  }
}

describe('the gravity turns of a day that brings less', () => {
  it('are planned for the first evening: 4 m3 each at 4 m3/h', () => {
    const { turns } = planWeek(tankWeek())
    expect(turns.map(({ on, startMinute, endMinute, volumeM3 }) => [on, startMinute, endMinute, volumeM3])).toEqual([
      [WEEK_ON, 965, 1025, 4],
      [WEEK_ON, 1030, 1090, 4],
    ])
  })

  it('share what the tank then holds by the same level, keep their start and end earlier', () => {
    // 0.5 m3/h for 8 hours: 4 m3 instead of 8, so each gets 2 m3: half an hour.
    const input = lessFlow(tankWeek(), 0.5)
    const reshared = reshareTanks(input)
    expect(
      reshared.map(({ was, now, shortM3 }) => [was.plotId, now?.startMinute, now?.endMinute, now?.volumeM3, shortM3]),
    ).toEqual([
      ['a', 965, 995, 2, 2],
      ['b', 1030, 1060, 2, 2],
    ])
    expect(checkReshareTanks(input, reshared)).toEqual([])
  })

  it('go to the first of the evening in full where the group chose the queue, and only whoever goes short is told', () => {
    // 0.5 m3/h for 8 hours: 4 m3 instead of 8, a's; 0.75 m3/h: 6 m3, of which two are left for b, half an hour.
    const queued = (flowM3PerH: number) => {
      const input = lessFlow(tankWeek(), flowM3PerH)
      const reshared = reshareTanks({ ...input, turns: input.turns.toReversed(), order: 'queue' })
      return reshared.map(({ was, now, shortM3 }) => [was.plotId, now?.endMinute, now?.volumeM3, shortM3])
    }
    expect(queued(0.5)).toEqual([['b', undefined, undefined, 4]])
    expect(queued(0.75)).toEqual([['b', 1060, 2, 2]])
  })

  it('are judged where they were cut, and no others', () => {
    const input = lessFlow(tankWeek(), 0.5)
    const [a, b] = reshareTanks(input)
    const tooMuch = [{ ...a!, now: { ...a!.now!, volumeM3: 3, endMinute: 1010, hours: 0.75 } }, b!]
    const codes = (reshared: typeof tooMuch) =>
      checkReshareTanks(input, reshared).map(({ code, values }) => `${code} ${values.turnId}`)
    // a takes three of the four, so that one is left for b's two.
    expect(codes(tooMuch)).toEqual([`tank-below-floor ${b!.was.id}`])
    // Both stand as planned: nobody was cut, so nobody's cut is wrong.
    expect(codes([])).toEqual([])
  })

  it('fall away when nothing comes, and stay as they are when the tank is filled all the same', () => {
    expect(reshareTanks(lessFlow(tankWeek(), 0)).map(({ now }) => now)).toEqual([null, null])
    expect(reshareTanks(lessFlow(tankWeek(), 1))).toEqual([])
  })

  it('never find the tank below its mark, whatever the day brings, and leave less than a litre unshared', () => {
    fc.assert(
      fc.property(fc.integer({ min: 0, max: 1100 }), fc.constantFrom(0, 0.5, 2), (litresPerH, floorM3) => {
        const week = tankWeek()
        const inputs = { ...week, tanks: week.tanks!.map((tank) => ({ ...tank, floorM3, startM3: floorM3 })) }
        const input = lessFlow(inputs, litresPerH / 1000)
        const reshared = reshareTanks(input)
        expect(checkReshareTanks(input, reshared)).toEqual([])
        const cut = new Map(reshared.map(({ was, now }) => [was.id, now]))
        const now = input.turns.flatMap((turn) => (cut.has(turn.id) ? (cut.get(turn.id) ?? []) : [turn]))
        const course = tankCourse({ works: tankWorksOf(input.inputs), turns: now })
        const evening = course.eveningM3.find(({ on }) => on === WEEK_ON)!
        if (reshared.length > 0) expect(evening.volumeM3 - floorM3).toBeLessThan(0.003)
      }),
      runs(40),
    )
  })
})
