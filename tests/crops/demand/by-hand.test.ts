import { describe, expect, it } from 'vitest'
import { addDays } from '../../../domain/calendar.ts'
import { type BookedDay, expectedDemand } from '../../../domain/crops/demand/expected-demand.ts'
import { fillMissingDays } from '../../../domain/crops/demand/filled-days.ts'
import { creditedRainMm } from '../../../domain/crops/demand/rain.ts'
import { usualMonthlyDemand } from '../../../domain/crops/demand/usual-demand.ts'

const TODAY = '2026-07-15'
/** Every month another, so that a month taken for its neighbour is seen. */
const TABLE = [1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12]

/** A measured day so many days ago. */
const ago = (days: number, etoMm: number | null, more: Partial<BookedDay> = {}): BookedDay => {
  return { date: addDays(TODAY, -days), etoMm, etoErrorFraction: 0.24, rainMm: 0, ...more }
}
const series = (...etoByDaysAgo: [daysAgo: number, etoMm: number][]) =>
  etoByDaysAgo.map(([days, eto]) => ago(days, eto))

describe('the demand to expect', () => {
  const expected = (days: BookedDay[], more: { weekDays?: number; table?: number[] } = {}) =>
    expectedDemand({ days, weekStartsOn: TODAY, weekDays: more.weekDays, monthTableMmPerDay: more.table ?? undefined! })
  const week = series([7, 2], [6, 3], [5, 4], [4, 5], [3, 6], [2, 7], [1, 8])

  it('is the mean of the seven days before, today and the eighth left out', () => {
    const found = expected([ago(8, 90), ...week, ago(0, 90)])
    expect(found).toEqual({ etoMmPerDay: 5, errorFraction: 0.24, from: 'past-7-days', daysUsed: 7 })
  })

  it('is that of the fortnight where one is missing, its doubt wider by the root of squares', () => {
    const found = expected([ago(15, 90), ago(14, 11), ...week.slice(1), ago(0, 90)])
    expect(found).toMatchObject({ from: 'past-14-days', daysUsed: 7, etoMmPerDay: (11 + 33) / 7 })
    expect(found!.errorFraction).toBeCloseTo(0.26, 12) // 0.24 and 0.1 at right angles
  })

  it('needs four days of the fortnight, else the table of months, else says nothing', () => {
    expect(expected(week.slice(0, 4), { table: TABLE })).toMatchObject({ from: 'past-14-days', daysUsed: 4 })
    expect(expected(week.slice(0, 3), { table: TABLE })).toEqual({
      ...{ etoMmPerDay: 7, errorFraction: 0.3, from: 'month-table', daysUsed: 0 },
    })
    expect(expected(week.slice(0, 3))).toBeNull()
    expect(expected([...week.slice(0, 3), ago(1, null)])).toBeNull()
  })

  it('takes from the table the months of the week’s own days', () => {
    const across = (weekStartsOn: string, weekDays?: number) =>
      expectedDemand({ days: [], weekStartsOn, weekDays, monthTableMmPerDay: TABLE })!.etoMmPerDay
    expect(across('2026-07-29')).toBeCloseTo((3 * 7 + 4 * 8) / 7, 12)
    expect(across('2026-07-29', 4)).toBeCloseTo((3 * 7 + 8) / 4, 12)
    expect(across('2026-12-31', 2)).toBeCloseTo(6.5, 12)
  })

  it('takes a day without any demand, and refuses one below nothing and a table that cannot be', () => {
    expect(expected(series([7, 0], [6, 0], [5, 0], [4, 0]))).toMatchObject({ etoMmPerDay: 0 })
    expect(() => expected(series([1, -0.1]))).toThrow('depth-below-zero')
    for (const table of [TABLE.slice(1), [...TABLE, 1], [-1, ...TABLE.slice(1)], [...TABLE.slice(1), -1]])
      expect(() => expected([], { table })).toThrow('month-table-wrong')
    expect(expected([], { table: Array(12).fill(0) })).toMatchObject({ etoMmPerDay: 0 })
  })
})

describe('a day that nobody wrote', () => {
  const filled = (days: BookedDay[], table?: number[]) =>
    fillMissingDays({ days, fromOn: addDays(TODAY, -9), toOn: addDays(TODAY, -1), monthTableMmPerDay: table })

  it('has the mean of the days within a week on either side', () => {
    // Nine days, the third of them missing; the tenth day lies eight days from it.
    const days = series([9, 1], [8, 2], [6, 4], [5, 5], [4, 6], [3, 7], [2, 8], [1, 90])
    const found = filled([ago(14, 9), ago(15, 90), ...days, ago(0, 15)])!
    expect(found.filled).toEqual([{ date: addDays(TODAY, -7), demand: true, rain: true }])
    const gap = found.days.find(({ date }) => date === addDays(TODAY, -7))!
    expect(gap.etoMm).toBeCloseTo((9 + 1 + 2 + 4 + 5 + 6 + 7 + 8 + 90 + 15) / 10, 12)
    expect(gap).toMatchObject({ rainMm: 0 })
    expect(gap.etoErrorFraction).toBeCloseTo(Math.sqrt(0.24 * 0.24 + 0.15 * 0.15), 12)
    expect(found.days).toHaveLength(9)
  })

  it('has the table, else all that was measured, with fewer than four neighbours', () => {
    const far = (days: BookedDay[], table?: number[]) =>
      fillMissingDays({ days, fromOn: '2026-07-15', toOn: '2026-07-15', monthTableMmPerDay: table })
    const four = series([7, 1], [6, 2], [5, 3], [4, 6])
    expect(far([...four, ago(8, 50)], TABLE)!.days[0]).toMatchObject({ etoMm: 3 })
    expect(far([...four.slice(1), ago(8, 50)], TABLE)!.days[0]).toMatchObject({ etoMm: 7, etoErrorFraction: 0.3 })
  })

  it('may be half of the days and no more, unless there is a table', () => {
    const span = (days: BookedDay[], table?: number[]) =>
      fillMissingDays({ days, fromOn: addDays(TODAY, -4), toOn: addDays(TODAY, -1), monthTableMmPerDay: table })
    const away = series([9, 3], [8, 3])
    expect(span([...away, ...series([2, 4], [1, 4])])!.filled).toHaveLength(2)
    expect(span([...away, ...series([1, 4])])).toBeNull()
    expect(span([ago(1, 4)], TABLE)!.days.map(({ etoMm }) => etoMm)).toEqual([7, 7, 7, 4])
  })

  it('may be known but for its rain, which then counts as none', () => {
    const found = filled(Array.from({ length: 9 }, (_, at) => ago(at + 1, 5, { rainMm: at === 3 ? null : 2 })))!
    expect(found.filled).toEqual([{ date: addDays(TODAY, -4), demand: false, rain: true }])
    expect(found.days.map(({ rainMm }) => rainMm)).toEqual([2, 2, 2, 2, 2, 0, 2, 2, 2])
  })
})

describe('the demand of a month', () => {
  const days = (from: string, count: number, etoMm: number): BookedDay[] =>
    Array.from({ length: count }, (_, at) => ({ date: addDays(from, at), etoMm, etoErrorFraction: 0.24, rainMm: 0 }))
  const usual = (booked: BookedDay[], table?: number[]) =>
    usualMonthlyDemand({ days: booked, monthTableMmPerDay: table })

  it('is its own from ten measured days on, of any year', () => {
    const booked = [...days('2025-03-01', 4, 2), ...days('2026-03-10', 6, 7)]
    expect(usual(booked, TABLE)![2]).toMatchObject({ etoMmPerDay: 5, from: 'own-weather', days: 10 })
    expect(usual(booked, TABLE)![2]!.errorFraction).toBeCloseTo(0.26, 12)
    expect(usual(booked.slice(1), TABLE)![2]).toEqual({
      etoMmPerDay: 3,
      errorFraction: 0.3,
      from: 'month-table',
      days: 0,
    })
  })

  it('is that of the last four weeks without a table, from four days on', () => {
    const lately = usual([...days('2026-05-01', 2, 90), ...days('2026-05-03', 28, 6)])!
    expect(lately[0]).toMatchObject({ etoMmPerDay: 6, from: 'lately', days: 28 })
    expect(usual(days('2026-05-01', 4, 6))![0]).toMatchObject({ etoMmPerDay: 6, days: 4 })
    expect(usual(days('2026-05-01', 3, 6))).toBeNull()
  })
})

it('rain counts nothing up to half the threshold, in full from one and a half times, and evenly more between', () => {
  const credited = (rainMm: number, thresholdMm = 8, fraction = 0.5) =>
    creditedRainMm({ rainMm, rule: { thresholdMm, fraction } })
  expect([0, 4, 6, 8, 12, 20].map((rainMm) => credited(rainMm))).toEqual([0, 0, 1.5, 3, 6, 10])
  expect([credited(3, 0), credited(0, 0), credited(3, 0, 1), credited(3, 0, 0)]).toEqual([1.5, 0, 3, 0])
  for (const wrong of [
    () => credited(-1),
    () => credited(1, -1),
    () => credited(1, 8, -0.1),
    () => credited(1, 8, 1.1),
  ])
    expect(wrong).toThrow(/rain-below-zero|rain-rule-outside/)
})
