import { assert, constant, integer, property, record, uniqueArray } from 'fast-check'
import { describe, expect, it } from 'vitest'
import { addDays, type CalendarDate, datesFromTo, type Weekday, weekdayOf } from '../../domain/calendar.ts'
import {
  daysOfWeek,
  nextWeekOn,
  previousWeekOn,
  type WeekRhythm,
  weekByDay,
  weekOf,
  weeksBetween,
  weeksFromTo,
} from '../../domain/weeks.ts'

const BEGINS: CalendarDate = '2026-05-01'
const ENDS: CalendarDate = '2026-10-31'
const DATES = datesFromTo(BEGINS, ENDS)

/** Up to five settled rhythms, on days apart or one after the other, each of any length that a form lets through. */
const rhythms = record({
  firstWeekday: integer({ min: 1, max: 7 }),
  marketWeeks: uniqueArray(record({ from: integer({ min: 0, max: 183 }), daysInWeek: integer({ min: 4, max: 8 }) }), {
    maxLength: 5,
    selector: ({ from }) => from,
  }).map((settled) =>
    settled
      .toSorted((a, b) => a.from - b.from)
      .map(({ from, daysInWeek }) => ({ fromOn: addDays(BEGINS, from), daysInWeek })),
  ),
}).map((rhythm) => rhythm as WeekRhythm)

describe('the weeks of a group', () => {
  it('hold each day once, one week after the other, across any change of rhythm', () => {
    assert(
      property(rhythms, (rhythm) => {
        const weeks = weeksFromTo(BEGINS, ENDS, rhythm)
        const held = weeks.flatMap(({ startOn, endOn }) => datesFromTo(startOn, endOn))
        expect(held).toEqual(datesFromTo(weeks[0]!.startOn, weeks.at(-1)!.endOn))
        for (const week of weeks) {
          const own = datesFromTo(week.startOn, week.endOn)
          expect(own).toHaveLength(week.days)
          for (const date of own) {
            expect(weekOf(date, rhythm)).toEqual(week)
            expect(daysOfWeek(date, rhythm)).toEqual(own)
            expect(weekOf(nextWeekOn(date, rhythm), rhythm).startOn).toBe(addDays(week.endOn, 1))
            expect(weekOf(previousWeekOn(date, rhythm), rhythm).endOn).toBe(addDays(week.startOn, -1))
          }
        }
      }),
    )
  })

  it('begin on the settled day and have its length, but for the last one before the next rhythm', () => {
    assert(
      property(rhythms, (rhythm) => {
        const { marketWeeks } = rhythm
        marketWeeks.forEach(({ fromOn, daysInWeek }, at) => {
          expect(weekOf(fromOn, rhythm).startOn).toBe(fromOn)
          const untilOn = addDays(marketWeeks[at + 1]?.fromOn ?? '2026-12-31', -1)
          const own = weeksFromTo(fromOn, untilOn, rhythm)
          expect(own.slice(0, -1).every(({ days }) => days === daysInWeek)).toBe(true)
          expect(own.at(-1)!.days).toBeLessThanOrEqual(daysInWeek)
        })
      }),
    )
  })

  it('are counted alike forwards and backwards, and are as many as lie between', () => {
    const pairs = record({ rhythm: rhythms, from: integer({ min: 0, max: 183 }), to: integer({ min: 0, max: 183 }) })
    assert(
      property(pairs, ({ rhythm, from, to }) => {
        const [one, other] = [DATES[from]!, DATES[to]!]
        const steps = weeksBetween(one, other, rhythm)
        expect(weeksBetween(other, one, rhythm)).toBe(0 - steps)
        let on = weekOf(one, rhythm).startOn
        for (let step = 0; step < Math.abs(steps); step++)
          on = steps > 0 ? nextWeekOn(on, rhythm) : previousWeekOn(on, rhythm)
        expect(on).toBe(weekOf(other, rhythm).startOn)
      }),
    )
  })

  it('have seven days from their weekday on while nothing else is settled', () => {
    assert(
      property(integer({ min: 1, max: 7 }), constant([]), (firstWeekday, marketWeeks) => {
        for (const date of DATES) {
          const { startOn, endOn } = weekOf(date, { firstWeekday: firstWeekday as Weekday, marketWeeks })
          expect([weekdayOf(startOn), endOn]).toEqual([firstWeekday, addDays(startOn, 6)])
          expect(startOn <= date && date <= endOn).toBe(true)
        }
      }),
    )
  })

  // Counted on a calendar: weeks from Monday on, then a market every five days from Thursday 11 June 2026.
  it('are cut short where the market takes over', () => {
    const rhythm: WeekRhythm = { firstWeekday: 1, marketWeeks: [{ fromOn: '2026-06-11', daysInWeek: 5 }] }
    const weeks = weeksFromTo('2026-06-03', '2026-06-18', rhythm)
    expect(weeks.map(({ startOn, endOn, days }) => [startOn, endOn, days])).toEqual([
      ['2026-06-01', '2026-06-07', 7],
      ['2026-06-08', '2026-06-10', 3],
      ['2026-06-11', '2026-06-15', 5],
      ['2026-06-16', '2026-06-20', 5],
    ])
    expect(weeksFromTo('2026-06-18', '2026-06-03', rhythm)).toEqual([])
  })
})

it('lays days into weeks of given lengths, the last of which repeats', () => {
  expect(weekByDay(7, 9)).toEqual([0, 0, 0, 0, 0, 0, 0, 1, 1])
  expect(weekByDay([3, 5, 4], 15)).toEqual([0, 0, 0, 1, 1, 1, 1, 1, 2, 2, 2, 2, 3, 3, 3])
})
