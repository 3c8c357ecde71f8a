import { describe, expect, it } from 'vitest'
import { isByList, listLayout, plainPlan } from '../../../../domain/rotation/timetable/first-plan.ts'
import { type PumpWeek, pumpWeek, pumpWorks } from '../../../../domain/rotation/timetable/pump/pump-week.ts'
import type { TimetableAllocation } from '../../../../domain/rotation/timetable/types.ts'
import { allocation, flowFrom, input, MONDAY, TUESDAY } from './two-days.ts'

const DAYS = [MONDAY, TUESDAY, '2026-03-04']

/** Claims of so many litres, told by name, from a pump of 10 litres a minute, from 8 for so many hours on each of three days. */
function week(
  claims: [id: string, litres: number, more?: Partial<TimetableAllocation>][],
  hours = [2, 2, 2],
): PumpWeek {
  const work = input({
    week: { startOn: MONDAY, days: DAYS },
    allocations: claims.map(([id, litres, more]) =>
      allocation({ claimId: id, plotId: id, volumeM3: litres / 1000, ...more }),
    ),
    outlets: [{ id: 'x', pumpId: 'p', flowM3PerH: 0.6 }],
    pumps: [
      { id: 'p', flowM3PerHByDay: Object.fromEntries(DAYS.map((on, at) => [on, flowFrom(8, 8 + hours[at]!, 10)])) },
    ],
  })
  return pumpWeek(work, pumpWorks(work)[0]!)
}
const named = (of: PumpWeek, row: number) => of.rows[row]!.allocation.claimId

describe('the plain order', () => {
  const order = (...claims: Parameters<typeof week>[0]) => {
    const of = week(claims)
    const { order, notBefore, atMost } = plainPlan(of)
    expect(
      [...notBefore, ...atMost].every((values) => values.length === claims.length && values.every((one) => one === 0)),
    ).toBe(true)
    const days = order.map((day) => Array.from(day, (row) => named(of, row)).join(''))
    expect(new Set(days).size).toBe(1)
    expect(days).toHaveLength(3)
    return days[0]
  }

  it('has who suffers first before the others, then the tail before the head, then the names', () => {
    expect(order(['a', 100], ['b', 100, { latestOn: TUESDAY }], ['c', 100, { latestOn: MONDAY }])).toBe('cba')
    expect(
      order(['a', 100, { linePosition: 1 }], ['b', 100, { linePosition: 3 }], ['c', 100, { linePosition: 2 }]),
    ).toBe('bca')
    expect(order(['a', 100, { linePosition: 9 }], ['b', 100, { latestOn: TUESDAY, linePosition: 1 }])).toBe('ba')
    expect(order(['b', 100], ['a', 100], ['d', 100], ['c', 100])).toBe('abcd')
  })
})

describe('the order of a list', () => {
  const list = (
    claims: [id: string, litres: number, place: number | null, more?: Partial<TimetableAllocation>][],
    hours?: number[],
  ) => {
    const of = week(
      claims.map(([id, litres, place, more]) => [
        id,
        litres,
        { ...more, ...(place === null ? {} : { listPlace: place }) },
      ]),
      hours,
    )
    return listLayout(of).days.map((day) => day.map(({ row, litres }) => `${named(of, row)} ${litres}`).join(', '))
  }

  it('is gone by where any name of the pump is on one', () => {
    expect(
      isByList(
        week([
          ['a', 1],
          ['b', 1],
        ]),
      ),
    ).toBe(false)
    expect(
      isByList(
        week([
          ['a', 1],
          ['b', 1, { listPlace: 0 }],
        ]),
      ),
    ).toBe(true)
  })

  it('has the names one after the other, those without a place last and by name', () => {
    expect(
      list([
        ['a', 200, 2],
        ['b', 200, 0],
        ['c', 200, 1],
      ])[0],
    ).toBe('b 200, c 200, a 200')
    expect(
      list([
        ['d', 100, null],
        ['a', 100, null],
        ['c', 100, 7],
        ['b', 100, 7],
      ])[0],
    ).toBe('b 100, c 100, a 100, d 100')
  })

  it('lets a day’s last name of less than a fifth of its water wait for the next, with those behind it', () => {
    // 1,000 litres and five minutes of walk leave a quarter of an hour, 150 litres: a fifth of 750.
    expect(
      list([
        ['a', 1000, 0],
        ['b', 751, 1],
        ['c', 100, 2],
      ]),
    ).toEqual(['a 1000', 'b 751, c 100', ''])
    expect(
      list([
        ['a', 1000, 0],
        ['b', 750, 1],
        ['c', 100, 2],
      ]),
    ).toEqual(['a 1000, b 150', 'b 600, c 100', ''])
    // Who comes behind it in the order of the list waits too, though its quarter of an hour would do for it.
    expect(
      list([
        ['a', 1000, 0],
        ['b', 900, 1],
        ['c', 100, 2, { canNot: [{ on: MONDAY }] }],
      ]),
    ).toEqual(['a 1000', 'b 900, c 100', ''])
  })

  it('goes on with a turn that was begun before, that is all there is of it, or of which waiting would cost water', () => {
    expect(list([['a', 1300, 0]], [1, 1, 2])).toEqual(['a 600', 'a 600', 'a 100'])
    expect(
      list([
        ['a', 1000, 0],
        ['b', 50, 1],
      ]),
    ).toEqual(['a 1000, b 50', '', ''])
    expect(
      list([
        ['a', 1000, 0],
        ['b', 900, 1, { canNot: [{ on: TUESDAY }, { on: DAYS[2]! }] }],
      ]),
    ).toEqual(['a 1000, b 150', '', ''])
    expect(
      list(
        [
          ['a', 1000, 0],
          ['b', 800, 1],
        ],
        [2, 1, 0],
      ),
    ).toEqual(['a 1000, b 150', 'b 600', ''])
    expect(
      list(
        [
          ['a', 1000, 0],
          ['b', 800, 1],
        ],
        [2, 1, 1],
      ),
    ).toEqual(['a 1000', 'b 600', 'b 200'])
    // The last day has no day after it.
    expect(
      list(
        [
          ['a', 1000, 0],
          ['b', 800, 1],
        ],
        [0, 0, 2],
      ),
    ).toEqual(['', '', 'a 1000, b 150'])
  })
})
