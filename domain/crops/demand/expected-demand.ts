import { addDays, type CalendarDate, datesFromTo } from '../../calendar.ts'
import { InputError } from '../../input-error.ts'
import { mean, sum } from '../../sum.ts'
import { checkMonths, monthIndex } from './month-table.ts'

/** What the weather book knows of a day; null where nothing was measured. */
export interface BookedDay {
  date: CalendarDate
  etoMm: number | null
  /** Likely error of that figure as a part of it. */
  etoErrorFraction: number
  rainMm: number | null
}

export interface ExpectedDemand {
  etoMmPerDay: number
  errorFraction: number
  from: 'past-7-days' | 'past-14-days' | 'month-table'
  /** Days that the mean rests on; 0 from the month table. */
  daysUsed: number
}

/** Fewest measured days of the past fortnight that still stand for the coming week: common practice, no source. */
const FEWEST_DAYS = 4

/** Added errors, as parts: an older or broken record, and a printed month table. Common practice, no source. */
const BROKEN_RECORD_ERROR = 0.1
const MONTH_TABLE_ERROR = 0.3

/**
 * Reference evapotranspiration to expect in the coming week: the mean of the past seven days where all are measured, else
 * of the measured days of the past fourteen (four at least), else the group's month table (twelve values, mm a day); null
 * when there is none. Weather repeats itself from week to week well enough in a dry season: common practice, no source.
 */
export function expectedDemand(input: {
  days: readonly BookedDay[]
  weekStartsOn: CalendarDate
  /** Seven where left out. */
  weekDays?: number | undefined
  monthTableMmPerDay?: readonly number[]
}): ExpectedDemand | null {
  const week = measured(input.days, addDays(input.weekStartsOn, -7), input.weekStartsOn)
  if (week.length === 7) return meanOf(week, 'past-7-days', 0)
  const fortnight = measured(input.days, addDays(input.weekStartsOn, -14), input.weekStartsOn)
  if (fortnight.length >= FEWEST_DAYS) return meanOf(fortnight, 'past-14-days', BROKEN_RECORD_ERROR)
  const table = input.monthTableMmPerDay
  if (!table) return null
  checkMonths(table)
  const dates = datesFromTo(input.weekStartsOn, addDays(input.weekStartsOn, (input.weekDays ?? 7) - 1))
  const sumMm = sum(dates, (date) => table[monthIndex(date)]!)
  return { etoMmPerDay: sumMm / dates.length, errorFraction: MONTH_TABLE_ERROR, from: 'month-table', daysUsed: 0 }
}

interface MeasuredDay {
  etoMm: number
  etoErrorFraction: number
}

function measured(days: readonly BookedDay[], from: CalendarDate, before: CalendarDate): MeasuredDay[] {
  return days.flatMap(({ date, etoMm, etoErrorFraction }) => {
    if (etoMm === null || date < from || date >= before) return []
    if (!(etoMm >= 0)) throw new InputError('depth-below-zero', { field: 'etoMm', date, value: etoMm })
    return [{ etoMm, etoErrorFraction }]
  })
}

/** The errors of the days are alike (the same thermometer, the same method), so they do not average out. */
function meanOf(days: readonly MeasuredDay[], from: ExpectedDemand['from'], addedError: number): ExpectedDemand {
  return {
    etoMmPerDay: mean(days, (day) => day.etoMm),
    errorFraction: Math.hypot(
      mean(days, (day) => day.etoErrorFraction),
      addedError,
    ),
    from,
    daysUsed: days.length,
  }
}
