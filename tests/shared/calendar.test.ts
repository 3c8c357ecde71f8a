import fc from 'fast-check'
import { DateTime } from 'luxon'
import { describe, expect, it } from 'vitest'
import { addDays, datesFromTo, dayOfYear, daysBetween, isCalendarDate, weekdayOf } from '../../domain/calendar.ts'

/** Days on both sides of 1970, most of them where a month, a year or February ends. */
const years = fc.constantFrom(1896, 1900, 1969, 1970, 2000, 2024, 2025, 2026, 2100)
const days = fc
  .oneof(
    fc.constantFrom([1, 1], [2, 28], [3, 1], [4, 30], [12, 31]),
    fc.tuple(
      fc.nat(11).map((m) => m + 1),
      fc.nat(27).map((d) => d + 1),
    ),
  )
  .chain(([month, day]) => years.map((year) => DateTime.utc(year, month!, day!)))
const written = (day: DateTime) => day.toISODate()!

describe('a calendar date', () => {
  it.each(['2026-01-01', '2026-12-31', '2024-02-29', '2000-02-29', '0100-01-01', '2026-04-30', '2026-07-31'])(
    '%s is a day',
    (text) => expect(isCalendarDate(text)).toBe(true),
  )

  it.each([
    ...['2026-02-29', '1900-02-29', '2100-02-29', '2024-02-30', '2026-04-31', '2026-06-31', '2026-09-31', '2026-11-31'],
    ...['2026-00-10', '2026-13-10', '2026-01-00', '2026-01-32', '0099-12-31', '2026-1-1', '26-01-01', 'tomorrow', ''],
  ])('%s is none', (text) => {
    expect(isCalendarDate(text)).toBe(false)
    expect(() => addDays(text, 1)).toThrow(expect.objectContaining({ code: 'date-unknown' }))
  })

  it('is counted on, and its place in week and year told, as another calendar has it', () => {
    fc.assert(
      fc.property(days, fc.integer({ min: -800, max: 800 }), (day, count) => {
        const on = written(day)
        const later = written(day.plus({ days: count }))
        expect(addDays(on, count)).toBe(later)
        expect(daysBetween(on, later)).toBe(count)
        expect(weekdayOf(on)).toBe(day.weekday)
        expect(dayOfYear(on)).toBe(day.ordinal)
      }),
    )
  })

  it('stands in a list from the first to the last, which is empty backwards', () => {
    expect(datesFromTo('2025-12-31', '2026-01-02')).toEqual(['2025-12-31', '2026-01-01', '2026-01-02'])
    expect(datesFromTo('2026-01-02', '2026-01-02')).toEqual(['2026-01-02'])
    expect(datesFromTo('2026-01-02', '2026-01-01')).toEqual([])
    expect(datesFromTo('2026-01-09', '2026-01-01')).toEqual([])
  })
})
