import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { datesFromTo } from '../../../../domain/calendar.ts'
import { seededRandom } from '../../../../domain/random.ts'
import { plainPlan } from '../../../../domain/rotation/timetable/first-plan.ts'
import type { Plan } from '../../../../domain/rotation/timetable/layout/day.ts'
import { layOut, restAfter } from '../../../../domain/rotation/timetable/layout/layout.ts'
import { type PumpWeek, pumpWeek, pumpWorks, tankWeek } from '../../../../domain/rotation/timetable/pump/pump-week.ts'
import { costLitres } from '../../../../domain/rotation/timetable/score.ts'
import { bestLayout } from '../../../../domain/rotation/timetable/search.ts'
import type { TimetableAllocation, TimetableInput } from '../../../../domain/rotation/timetable/types.ts'
import { runs } from '../../../support/runs.ts'
import { allocation, flowFrom, input, MONDAY, TUESDAY } from './two-days.ts'

/** Claims of so many litres from a pump of 10 litres a minute, Monday from 7 to 9 and Tuesday as told, all at one outlet unless told. */
function week(
  claims: (Partial<TimetableAllocation> & { litres: number })[],
  more: Partial<TimetableInput> = {},
): PumpWeek {
  const work = input({
    allocations: claims.map(({ litres, ...one }, at) =>
      allocation({ claimId: `c${at}`, plotId: `c${at}`, volumeM3: litres / 1000, ...one }),
    ),
    outlets: ['x', 'y'].map((id) => ({ id, pumpId: 'p', flowM3PerH: 0.6 })),
    pumps: [{ id: 'p', flowM3PerHByDay: { [MONDAY]: flowFrom(7, 9, 10), [TUESDAY]: flowFrom(7, 9, 10) } }],
    ...more,
  })
  return pumpWeek(work, pumpWorks(work)[0]!)
}
const only = (flow: number[]) => ({ pumps: [{ id: 'p', flowM3PerHByDay: { [MONDAY]: flow } }] })
const turns = (of: PumpWeek, tries = 0) =>
  bestLayout(of, tries)
    .days.flat()
    .map(({ row, day, startMinute, litres }) => [row, day, startMinute / 60, litres])

describe('the plain order, with nothing tried', () => {
  it('is moved to a wish where that costs no water', () => {
    const wished = (...hours: [on: string, from: number, to: number][]) =>
      hours.map(([on, fromHour, toHour]) => ({ on, fromHour, toHour }))
    expect(turns(week([{ litres: 100 }]))).toEqual([[0, 0, 7, 100]])
    expect(turns(week([{ litres: 100, wished: wished([TUESDAY, 8, 9]) }]))).toEqual([[0, 1, 8, 100]])
    // Met as it stands: another hour would be no better.
    expect(turns(week([{ litres: 100, wished: wished([MONDAY, 7, 8], [MONDAY, 7.5, 8]) }]))).toEqual([[0, 0, 7, 100]])
    // Half an hour carries 300 litres.
    const little = [{ litres: 600, wished: wished([MONDAY, 8.5, 9]) }]
    expect(turns(week(little, only(flowFrom(7, 9, 10))))).toEqual([[0, 0, 7, 600]])
    const both = [
      { litres: 300, wished: wished([MONDAY, 8, 9]) },
      { litres: 300, wished: wished([TUESDAY, 7, 8]) },
    ]
    expect(turns(week(both))).toEqual([
      [0, 0, 8, 300],
      [1, 1, 7, 300],
    ])
  })

  it('is moved to a wish from a tank too, which else gives as soon as it may', () => {
    const tank = {
      id: 't',
      pumpId: 'p',
      capacityM3: 5,
      floorM3: 0,
      startM3: 5,
      gravityHours: [{ fromHour: 10, toHour: 20 }],
    }
    const at = (wished?: TimetableAllocation['wished']) => {
      const work = input({
        allocations: [allocation({ wished })],
        outlets: [{ id: 'x', pumpId: 'p', flowM3PerH: 0.6, tankId: 't' }],
        pumps: [{ id: 'p', flowM3PerHByDay: {} }],
      })
      return turns(tankWeek(work, tank, [[], []])!).map(([, day, start]) => [day, start])
    }
    expect(at()).toEqual([[0, 10]])
    expect(at([{ on: MONDAY, fromHour: 15, toHour: 18 }])).toEqual([[0, 15]])
    expect(at([{ on: TUESDAY, fromHour: 11, toHour: 13 }])).toEqual([[1, 11]])
  })

  it('has split turns taken together where the other day has room for all of it', () => {
    // The first has 80 minutes of Monday, so that the second finds 35 of the 80 that it needs.
    const claims = [{ litres: 800 }, { litres: 800 }]
    expect(turns(week(claims))).toEqual([
      [0, 0, 7, 800],
      [1, 1, 7, 800],
    ])
    const shortTuesday = { [MONDAY]: flowFrom(7, 9, 10), [TUESDAY]: flowFrom(7, 8, 10) }
    expect(turns(week(claims, { pumps: [{ id: 'p', flowM3PerHByDay: shortTuesday }] }))).toEqual([
      [0, 0, 7, 800],
      [1, 0, 7 + 85 / 60, 350],
      [1, 1, 7, 450],
    ])
  })

  it('lets like claims of one outlet change places where that spares who has carried more', () => {
    // Before eight is dawn, and the last of a day is hard: the first has had many dawns, the second was last often.
    const history = { c0: { dawn: 4 }, c1: { last: 4 } }
    const order = (litres: number, more: Partial<TimetableAllocation> = {}, of: TimetableInput['history'] = history) =>
      turns(week([{ litres: 500 }, { litres, ...more }], { history: of })).map(([row]) => row)
    expect([order(500), order(500, {}, {}), order(500, { outletId: 'y' })]).toEqual([
      [1, 0],
      [0, 1],
      [0, 1],
    ])
    // Like are those that differ by fifteen hundredths of the first at most, 75 litres of 500.
    expect([order(575), order(576), order(425), order(424)]).toEqual([
      [1, 0],
      [0, 1],
      [1, 0],
      [0, 1],
    ])
  })
})

const SEEDS = Array.from({ length: 16 }, (_, at) => at + 1)

/** Five days of two hours, and fifteen claims, shuffled, of which some three fill each day with the two walks between them. */
function crowded(seed: number): PumpWeek {
  const random = seededRandom(seed)
  const days = datesFromTo(MONDAY, '2026-03-06')
  const minutes = days.flatMap(() => {
    const [a, b] = [20 + 5 * Math.floor(random() * 5), 20 + 5 * Math.floor(random() * 5)]
    return [a, b, 110 - a - b]
  })
  const shuffled = minutes.map((each) => ({ each, at: random() })).sort((a, b) => a.at - b.at)
  return week(
    shuffled.map(({ each }, at) => ({ litres: each * 10, claimId: `c${at}`, plotId: `c${at}` })),
    {
      week: { startOn: MONDAY, days },
      pumps: [{ id: 'p', flowM3PerHByDay: Object.fromEntries(days.map((on) => [on, flowFrom(8, 10, 10)])) }],
      rules: { minTurnMinutes: 20, changeoverMinutes: 5 },
    },
  )
}

describe('a search by chance', () => {
  it('comes out the same a second time', () => {
    const of = () => turns(week([{ litres: 500 }, { litres: 700 }, { litres: 300 }]), 300)
    expect(of()).toEqual(of())
  })

  it('finds the order in which all is served, where the plain one passes somebody over', () => {
    // Both may begin at seven, but the second cannot after half past.
    const claims = [{ litres: 600 }, { litres: 300, canNot: [{ fromHour: 7.5, toHour: 24 }] }]
    const busy = () => week(claims, only(flowFrom(7, 9, 10)))
    expect(turns(busy()).map(([row]) => row)).toEqual([0])
    expect(turns(busy(), 100)).toEqual([
      [1, 0, 7, 300],
      [0, 0, 7 + 35 / 60, 600],
    ])
  })

  it('packs most of the weeks in which all can be served only if each day’s three turns fill it to the minute', () => {
    const isPacked = (of: PumpWeek) => restAfter(bestLayout(of, 1200)).every((litres) => litres === 0)
    expect(SEEDS.map(crowded).filter(isPacked).length).toBeGreaterThanOrEqual(11)
    // The plain order packs none of them.
    expect(SEEDS.map(crowded).filter((of) => restAfter(bestLayout(of, 0)).every((litres) => litres === 0))).toEqual([])
  })

  it('keeps the best that it met, and so is never dearer than the plain order', () => {
    for (const busy of SEEDS.map(crowded)) {
      const plain = costLitres(busy, layOut(busy, plainPlan(busy)))
      for (const tries of [1, 5, 20, 60]) expect(costLitres(busy, bestLayout(busy, tries))).toBeLessThanOrEqual(plain)
    }
  })

  it('finds a layout as cheap as the best of all orders and starts on a small day', () => {
    const orders = [
      [0, 1, 2],
      [0, 2, 1],
      [1, 0, 2],
      [1, 2, 0],
      [2, 0, 1],
      [2, 1, 0],
    ]
    const starts = [0, 450, 480, 510]
    const row = fc.record({
      litres: fc.integer({ min: 10, max: 80 }).map((tens) => tens * 10),
      from: fc.constantFrom(0, 7.25, 7.5, 8),
      to: fc.constantFrom(7.5, 8, 8.25, 24),
      outletId: fc.constantFrom('x', 'y'),
    })
    const isMissed = (rows: { litres: number; from: number; to: number; outletId: string }[]) => {
      const claims = rows.map(({ litres, from, to, outletId }) => ({
        ...{ litres, outletId },
        canNot:
          from < to
            ? [
                { fromHour: 0, toHour: from },
                { fromHour: to, toHour: 24 },
              ]
            : [],
      }))
      const of = week(claims, only(flowFrom(7, 9, 10)))
      const costOf = (order: number[], notBefore: number[]) => {
        const twice = (values: number[]) => [Int16Array.from(values), Int16Array.from(values)]
        const plan: Plan = { order: twice(order), notBefore: twice(notBefore), atMost: twice([0, 0, 0]) }
        return costLitres(of, layOut(of, plan))
      }
      const costs = orders.flatMap((order) =>
        starts.flatMap((a) => starts.flatMap((b) => starts.map((c) => costOf(order, [a, b, c])))),
      )
      return costLitres(of, bestLayout(of, 1500)) > Math.min(...costs) + 1e-3 * of.litres
    }
    // A search by chance misses the best of about one small day in 250; the same days each time, so that no landing hangs on a draw.
    const days = fc.sample(fc.array(row, { minLength: 3, maxLength: 3 }), { ...runs(12), seed: 7 })
    expect(days.filter(isMissed).length).toBeLessThanOrEqual(days.length / 50)
  })
})
