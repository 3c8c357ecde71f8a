import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { checkWeek } from '../../../domain/rotation/draft/check.ts'
import { planWeek } from '../../../domain/rotation/draft/plan.ts'
import type { WeekInputs } from '../../../domain/rotation/week/inputs.ts'
import { runs } from '../../support/runs.ts'
import { ruleWeek } from '../rule/week.ts'

interface Given {
  /** Needs of the plots that draw straight from the pump, and of those on the tank. */
  directM3: number[]
  gravityM3: number[]
  capacityM3: number
  floorM3?: number
  startM3?: number
  flowM3PerH?: number
  releasableM3?: number
}

/** One pump from 8 to 16; every outlet carries 3 m3/h; the tank gives from 5 to 20. */
function week({
  directM3,
  gravityM3,
  capacityM3,
  floorM3 = 0,
  startM3 = 0,
  flowM3PerH = 3,
  releasableM3 = 1000,
}: Given): WeekInputs {
  const needs = [
    ...directM3.map((needM3, at) => [`d${at}`, needM3]),
    ...gravityM3.map((needM3, at) => [`g${at}`, needM3]),
  ]
  const given = ruleWeek({
    plots: Object.fromEntries(needs.map(([id, needM3]) => [id, { needM3: Number(needM3) }])),
    weirs: { weir: releasableM3 },
  })
  const [outlet] = given.outlets
  const pumpId = outlet!.pumpId
  const flow = Array.from({ length: 24 }, (_, hour) => (hour >= 8 && hour < 16 ? flowM3PerH : 0))
  const tank = { id: 'tank', number: 1, name: 'Hill', pumpId, areaM2: 2, servesStand: floorM3 > 0, reading: null }
  return {
    ...given,
    pumps: given.pumps.map((pump) => ({
      ...pump,
      flowM3PerHByDay: Object.fromEntries(given.days.map((on) => [on, flow])),
    })),
    outlets: given.plots.map(({ id }, at) => ({
      ...{ ...outlet!, id: `outlet-${id}`, number: at + 1, flowM3PerH: 3 },
      ...(id.startsWith('g') ? { tankId: 'tank' } : {}),
    })),
    plots: given.plots.map((plot) => ({ ...plot, outletIds: [`outlet-${plot.id}`] })),
    tanks: [{ ...tank, capacityM3, floorM3, startM3, gravityHours: [{ fromHour: 5, toHour: 20 }] }],
  }
}

const givenOf = (inputs: WeekInputs) => {
  const planned = planWeek(inputs)
  expect(checkWeek(inputs, planned)).toEqual([])
  return { planned, got: Object.fromEntries(planned.shares.map(({ plotId, allocatedM3 }) => [plotId, allocatedM3])) }
}

describe('a week with a tank', () => {
  it('shares what a small tank can turn over by the level among those behind it, and names the tank', () => {
    // Seven fillings of 2 m3: 14 m3 for needs of 10 and 20; the plot on the pump has all it needs.
    const { planned, got } = givenOf(week({ directM3: [30], gravityM3: [10, 20], capacityM3: 2 }))
    expect(got.d0).toBe(30)
    expect(got.g0! + got.g1!).toBeGreaterThan(13.9)
    expect(got.g0! + got.g1!).toBeLessThanOrEqual(14)
    // Both stand at the same level: with water enough in the weir, what each is entitled to is its need.
    expect(got.g0! / 10).toBeCloseTo(got.g1! / 20, 2)
    expect(planned.shares.find(({ plotId }) => plotId === 'g0')!.heldBy).toMatchObject({ kind: 'tank' })
  })

  it('lets those on the pump give way where they would leave the tank dry, so that the level is shared', () => {
    // The pump lifts 168 m3 for needs of 170 and 20: a common level, not first the pump and then what is left.
    const { got } = givenOf(week({ directM3: [170], gravityM3: [20], capacityM3: 10 }))
    // 168 of 190: 0.884 of each need, but for the minutes of the last walks.
    expect(got.g0! / 20).toBeGreaterThan(0.87)
    expect(got.d0! / 170).toBeGreaterThan(0.87)
    expect(got.d0! + got.g0!).toBeLessThanOrEqual(168)
  })

  it('never takes what is kept back, and begins with what stands in it', () => {
    const full = givenOf(week({ directM3: [], gravityM3: [6], capacityM3: 6, startM3: 6, flowM3PerH: 0.05 }))
    expect(full.got.g0).toBe(6)
    const kept = givenOf(week({ directM3: [], gravityM3: [6], capacityM3: 6, floorM3: 4, startM3: 6, flowM3PerH: 0 }))
    expect(kept.got.g0).toBe(2)
  })

  it('fills no tank with a broken pump, and lets the turns of what stands in it be', () => {
    const given = week({ directM3: [20], gravityM3: [6], capacityM3: 6, floorM3: 4, startM3: 6 })
    const [tuesday, ...later] = given.days.slice(1)
    const broken = (days: string[]) => ({
      ...given,
      closures: days.map((on) => ({
        on,
        pumpId: given.pumps[0]!.id,
        words: 'cable',
        fault: { id: 'fault', foundOn: on },
      })),
    })
    const all = givenOf(broken(given.days))
    // Two of the six m3 stand above the mark; nothing is lifted.
    expect(all.got).toMatchObject({ d0: 0, g0: 2 })
    expect(all.planned.fills).toEqual([])
    const some = givenOf(broken(later))
    expect(some.got.g0).toBe(6)
    expect(some.planned.fills!.every(({ on }) => on <= tuesday!)).toBe(true)
    expect(some.planned.turns.every(({ outletId, on }) => outletId === 'outlet-g0' || on <= tuesday!)).toBe(true)
  })

  it('is held by the weir like any other outlet', () => {
    const { got, planned } = givenOf(week({ directM3: [20], gravityM3: [20], capacityM3: 20, releasableM3: 10 }))
    expect([got.d0, got.g0]).toEqual([5, 5])
    expect(planned.leftM3ByWeir).toEqual({ weir: 0 })
  })

  it('passes all judges in random weeks, and no plot gets more than it needs', () => {
    const needs = fc
      .array(fc.integer({ min: 0, max: 600 }), { maxLength: 4 })
      .map((tenths) => tenths.map((one) => one / 10))
    const cases = fc.record({
      directM3: needs,
      gravityM3: needs,
      capacityM3: fc.integer({ min: 1, max: 200 }).map((tenths) => tenths / 10),
      floorPart: fc.constantFrom(0, 0, 0.3, 0.9),
      startPart: fc.constantFrom(0, 0.5, 1),
      flowM3PerH: fc.integer({ min: 0, max: 40 }).map((tenths) => tenths / 10),
      releasableM3: fc.integer({ min: 0, max: 300 }),
    })
    fc.assert(
      fc.property(cases, ({ floorPart, startPart, ...given }) => {
        const litres = (part: number) => Math.floor(given.capacityM3 * part * 1000) / 1000
        const inputs = week({ ...given, floorM3: litres(floorPart), startM3: litres(startPart) })
        const { planned } = givenOf(inputs)
        for (const { allocatedM3, needM3 } of planned.shares) expect(allocatedM3).toBeLessThanOrEqual(needM3 + 1e-9)
      }),
      runs(40),
    )
  })
})
