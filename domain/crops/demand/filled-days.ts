import { addDays, type CalendarDate, datesFromTo } from '../../calendar.ts'
import { mean } from '../../sum.ts'
import type { BookedDay } from './expected-demand.ts'
import { checkMonths, monthIndex } from './month-table.ts'

/** A day that the weather book does not wholly know, with what stood in for it. */
export interface FilledDay {
  date: CalendarDate
  /** The demand was taken from other days or the month table. */
  demand: boolean
  /** The rain was not written and counts as none. */
  rain: boolean
}

interface FilledDays {
  days: BookedDay[]
  filled: FilledDay[]
}

/** Days either side of a gap whose mean stands in, and the fewest of them: common practice, no source. */
const NEIGHBOUR_DAYS = 7
const FEWEST_NEIGHBOURS = 4

/** Added errors of a demand from the days around, and from further away, as parts. Common practice, no source. */
const NEIGHBOUR_ERROR = 0.15
const DISTANT_ERROR = 0.3

/**
 * Every day from one date to another, gaps filled so that one forgotten reading does not hide a whole season: the demand by
 * the mean of the measured days within a week either side (four at least), else the month table, else the mean of all
 * measured days; the rain by none, which never makes a depletion too small. Null where too little is measured: without a
 * month table at least half of the days. Common practice, no source.
 */
export function fillMissingDays(input: {
  days: readonly BookedDay[]
  fromOn: CalendarDate
  toOn: CalendarDate
  monthTableMmPerDay?: readonly number[] | undefined
}): FilledDays | null {
  const { days, fromOn, toOn, monthTableMmPerDay: table } = input
  if (table) checkMonths(table)
  const booked = new Map(days.map((day) => [day.date, day]))
  const dates = datesFromTo(fromOn, toOn)
  const measured = dates.filter((date) => booked.get(date)?.etoMm != null).length
  if (!table && measured * 2 < dates.length) return null
  const filled: FilledDay[] = []
  const whole = dates.map((date): BookedDay => {
    const day = booked.get(date)
    const demand = day?.etoMm == null
    const rain = day?.rainMm == null
    if (demand || rain) filled.push({ date, demand, rain })
    const known = demand ? standIn(date, booked, table) : day
    return { date, etoMm: known.etoMm, etoErrorFraction: known.etoErrorFraction, rainMm: day?.rainMm ?? 0 }
  })
  return { days: whole, filled }
}

type Demand = Pick<BookedDay, 'etoMm' | 'etoErrorFraction'>

function standIn(date: CalendarDate, booked: Map<CalendarDate, BookedDay>, table?: readonly number[]): Demand {
  const around = datesFromTo(addDays(date, -NEIGHBOUR_DAYS), addDays(date, NEIGHBOUR_DAYS)).flatMap((near) => {
    const day = booked.get(near)
    return day?.etoMm != null ? [day] : []
  })
  if (around.length >= FEWEST_NEIGHBOURS) return meanOf(around, NEIGHBOUR_ERROR)
  if (table) return { etoMm: table[monthIndex(date)]!, etoErrorFraction: DISTANT_ERROR }
  return meanOf(
    [...booked.values()].filter((day) => day.etoMm !== null),
    DISTANT_ERROR,
  )
}

function meanOf(days: readonly BookedDay[], addedError: number): Demand {
  return {
    etoMm: mean(days, (day) => day.etoMm!),
    etoErrorFraction: Math.hypot(
      mean(days, (day) => day.etoErrorFraction),
      addedError,
    ),
  }
}
