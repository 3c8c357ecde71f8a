import { describe, expect, it } from 'vitest'
import { tryBooking } from '../../../domain/rotation/booking.ts'
import { planWeek } from '../../../domain/rotation/draft/plan.ts'
import { applyChange, checkChangedWeek, withManualChanges } from '../../../domain/rotation/manual-change/week.ts'
import { swapTurns } from '../../../domain/rotation/swap.ts'
import type { WeekInputs } from '../../../domain/rotation/week/inputs.ts'
import type { ManualChange } from '../../../domain/rotation/week/manual-change.ts'
import { ruleWeek, WEEK_ON } from '../rule/week.ts'

const FLOW = Array.from({ length: 24 }, (_, hour) => (hour >= 8 && hour < 16 ? 3 : 0))
const NO_FACTS = {
  pumps: [],
  noTurnHours: [],
  linePositions: {},
  notTogether: [] as [string, string][],
  fillingMinutes: {},
  burdens: {},
  officerPlotIds: [],
}

/** Plot a has 20 m3 from the pump, b 3 m3 from a tank of 4 m3 that begins empty. The pump lifts 24 m3 a day. */
function week(changes: ManualChange[] = []): WeekInputs {
  const given = ruleWeek({ plots: { a: { needM3: 20 }, b: { needM3: 3 } } })
  const [outlet] = given.outlets
  const pumpId = given.pumps[0]!.id
  return {
    ...given,
    pumps: given.pumps.map((pump) => ({
      ...pump,
      flowM3PerHByDay: Object.fromEntries(given.days.map((on) => [on, FLOW])),
    })),
    outlets: [
      { ...outlet!, id: 'direct', flowM3PerH: 3 },
      { ...outlet!, id: 'low', number: 9, flowM3PerH: 3, tankId: 'tank' },
    ],
    plots: given.plots.map((plot) => ({ ...plot, outletIds: [plot.id === 'a' ? 'direct' : 'low'] })),
    tanks: [
      {
        ...{ id: 'tank', number: 1, name: 'Hill', pumpId, areaM2: 2, capacityM3: 4, floorM3: 0, servesStand: false },
        ...{ startM3: 0, reading: null, gravityHours: null },
      },
    ],
    turnFacts: { ...NO_FACTS, changes },
  }
}

const change = (plotId: string, more: Partial<ManualChange>): ManualChange => ({
  ...{ id: 'c1', kind: 'move', plotId, outletId: plotId === 'a' ? 'direct' : 'low', wasOn: WEEK_ON, on: null },
  ...{ startMinute: null, volumeM3: null, byName: 'X', byId: 'x', at: '', reason: 'why', approvedByName: null },
  ...more,
})

describe('the hand on a week with a tank', () => {
  it('finds a on the pump by day and b from the tank in the evening, filled by the hour and a third that is left', () => {
    const planned = planWeek(week())
    expect(
      planned.turns.map(({ plotId, on, startMinute, endMinute, volumeM3 }) => [
        plotId,
        on,
        startMinute,
        endMinute,
        volumeM3,
      ]),
    ).toEqual([
      ['a', WEEK_ON, 480, 880, 20],
      ['b', WEEK_ON, 965, 1025, 3],
    ])
    expect(planned.fills).toMatchObject([{ on: WEEK_ON, startMinute: 880, endMinute: 940, volumeM3: 3 }])
  })

  it('moves a turn by gravity to another evening, and the filling follows', () => {
    const inputs = week([change('b', { on: '2026-06-09', startMinute: 1020 })])
    const handed = withManualChanges(inputs, planWeek(inputs))
    expect(handed.hand!.refused).toEqual([])
    expect(handed.turns.find(({ plotId }) => plotId === 'b')).toMatchObject({ on: '2026-06-09', startMinute: 1020 })
    expect(checkChangedWeek(inputs, handed)).toEqual([])
  })

  it('refuses a turn by gravity in the pump’s hours, before the tank is filled, or beyond what it holds', () => {
    const { turns } = planWeek(week())
    for (const wrong of [{ startMinute: 600 }, { startMinute: 300 }, { volumeM3: 5 }])
      expect(applyChange(week(), turns, change('b', wrong))).toEqual({ refusal: 'beyond-tank' })
  })

  it('refuses a longer turn on the pump that would take the water from under a promised gravity turn', () => {
    const { turns } = planWeek(week())
    expect(applyChange(week(), turns, change('a', { kind: 'lengthen', volumeM3: 24 }))).toEqual({
      refusal: 'beyond-flow',
    })
    expect(applyChange(week(), turns, change('a', { kind: 'lengthen', volumeM3: 21 }))).toMatchObject({
      turnId: expect.any(String),
    })
  })

  it('is not swapped into the pump’s hours, and its outlet is not booked', () => {
    const inputs = week()
    const planned = planWeek(inputs)
    const [first, second] = planned.turns
    expect(swapTurns({ inputs, turns: planned.turns, first: first!, second: second! })).toEqual({
      refusal: 'beyond-flow',
    })
    const wish = { plotId: 'b', outletId: 'low', on: '2026-06-10', startMinute: 1020, volumeM3: 1 }
    expect(tryBooking({ inputs, results: planned, turns: planned.turns }, wish)).toEqual({ refusal: 'by-gravity' })
  })

  it('is judged again before it is published: a tank that holds less, and a filling that is missing, are found', () => {
    const inputs = week()
    const planned = planWeek(inputs)
    const smaller = { ...inputs, tanks: inputs.tanks!.map((tank) => ({ ...tank, capacityM3: 2.9 })) }
    expect(checkChangedWeek(smaller, planned).map(({ code }) => code)).toContain('tank-above-capacity')
    expect(checkChangedWeek(inputs, { ...planned, fills: [] }).map(({ code }) => code)).toContain('tank-below-floor')
  })
})
