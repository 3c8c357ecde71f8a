import { describe, expect, it } from 'vitest'
import {
  fallsOn,
  isWeekOver,
  lengthOfWeek,
  marketDayOf,
  type WeekRhythm,
  weekByDay,
  weekOf,
  weeksBetween,
  weeksFromTo,
  wholeWeekDays,
} from '../../domain/weeks.ts'

/** Weeks from Wednesday on; from Friday 3 July 2026 on a market every 5 days, from Tuesday 14 July on every 4. */
const RHYTHM: WeekRhythm = {
  firstWeekday: 3,
  marketWeeks: [
    { fromOn: '2026-07-03', daysInWeek: 5 },
    { fromOn: '2026-07-14', daysInWeek: 4 },
  ],
}
const PLAIN: WeekRhythm = { firstWeekday: 3, marketWeeks: [] }

describe('the week of a day, counted on a calendar by hand', () => {
  it.each([
    ['2026-06-23', '2026-06-17', '2026-06-23', 7],
    ['2026-06-24', '2026-06-24', '2026-06-30', 7],
    ['2026-06-30', '2026-06-24', '2026-06-30', 7],
    ['2026-07-01', '2026-07-01', '2026-07-02', 2],
    ['2026-07-02', '2026-07-01', '2026-07-02', 2],
    ['2026-07-03', '2026-07-03', '2026-07-07', 5],
    ['2026-07-07', '2026-07-03', '2026-07-07', 5],
    ['2026-07-08', '2026-07-08', '2026-07-12', 5],
    ['2026-07-13', '2026-07-13', '2026-07-13', 1],
    ['2026-07-14', '2026-07-14', '2026-07-17', 4],
    ['2026-07-18', '2026-07-18', '2026-07-21', 4],
  ])('%s lies in %s to %s', (on, startOn, endOn, days) => {
    expect(weekOf(on, RHYTHM)).toEqual({ startOn, endOn, days })
  })

  it('is whole where the next rhythm begins with the next week', () => {
    const next = { firstWeekday: 3 as const, marketWeeks: [{ fromOn: '2026-07-08', daysInWeek: 4 }] }
    expect(weekOf('2026-07-01', next)).toEqual({ startOn: '2026-07-01', endOn: '2026-07-07', days: 7 })
  })

  it.each([
    ['2026-06-30', false],
    ['2026-07-01', true],
  ])('of 24 to 30 June is over on %s: %s', (today, isOver) => {
    for (const on of ['2026-06-24', '2026-06-27', '2026-06-30']) expect(isWeekOver(on, RHYTHM, today)).toBe(isOver)
  })

  it('has the length of its rhythm, whole', () => {
    const lengths = ['2026-07-02', '2026-07-03', '2026-07-13', '2026-07-14'].map((on) => wholeWeekDays(on, RHYTHM))
    expect(lengths).toEqual([7, 5, 5, 4])
  })
})

describe('a day that comes round', () => {
  it('has its place in the market week, and none before there was one', () => {
    const places = ['2026-07-02', '2026-07-03', '2026-07-07', '2026-07-08', '2026-07-13', '2026-07-14', '2026-07-17']
    expect(places.map((on) => marketDayOf(on, RHYTHM))).toEqual([null, 1, 5, 1, 1, 1, 4])
  })

  it('is a market day, a weekday, or every day', () => {
    const falls = (on: string, weekday: number | null, marketDay: number | null) =>
      fallsOn(on, { weekday, marketDay }, RHYTHM)
    // The third of July is a Friday and a market day.
    expect([falls('2026-07-03', null, 1), falls('2026-07-03', null, 2)]).toEqual([true, false])
    expect([falls('2026-07-03', 5, null), falls('2026-07-03', 4, null)]).toEqual([true, false])
    expect([falls('2026-07-03', 5, 2), falls('2026-07-02', null, 1)]).toEqual([false, false])
    expect(falls('2026-07-02', null, null)).toBe(true)
  })
})

describe('weeks in a row', () => {
  it('are those from the week of the first day to that of the last', () => {
    const starts = (from: string, to: string) => weeksFromTo(from, to, RHYTHM).map(({ startOn }) => startOn)
    expect(starts('2026-06-30', '2026-07-03')).toEqual(['2026-06-24', '2026-07-01', '2026-07-03'])
    expect(starts('2026-07-03', '2026-07-03')).toEqual(['2026-07-03'])
    expect(starts('2026-07-04', '2026-07-03')).toEqual([])
  })

  it('lie so many apart, backwards too', () => {
    const apart = (from: string, to: string) => weeksBetween(from, to, RHYTHM)
    expect(apart('2026-07-02', '2026-07-14')).toBe(4)
    expect(apart('2026-07-14', '2026-07-02')).toBe(-4)
    expect(apart('2026-07-03', '2026-07-07')).toBe(0)
    expect(Object.is(apart('2026-07-07', '2026-07-03'), -0)).toBe(false)
    expect(weeksBetween('2026-07-01', '2026-07-08', PLAIN)).toBe(1)
  })

  it('are counted from a first day, the last length repeating', () => {
    expect(weekByDay([2, 3], 9)).toEqual([0, 0, 1, 1, 1, 2, 2, 2, 3])
    expect(weekByDay(4, 5)).toEqual([0, 0, 0, 0, 1])
    expect(weekByDay(4, 0)).toEqual([])
    expect([0, 1, 2, 7].map((week) => lengthOfWeek([2, 3, 6], week))).toEqual([2, 3, 6, 6])
    expect(lengthOfWeek(7, 3)).toBe(7)
  })
})
