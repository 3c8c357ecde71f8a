import { mean } from '../../sum.ts'
import type { BookedDay } from './expected-demand.ts'
import { checkMonths, monthIndex } from './month-table.ts'

export interface MonthDemand {
  etoMmPerDay: number
  /** Likely error as a part. */
  errorFraction: number
  from: 'own-weather' | 'month-table' | 'lately'
  /** Measured days that it rests on; 0 from the table. */
  days: number
}

/** Fewest measured days that stand for a month, and what stands in for months never measured. Common practice, no source. */
const FEWEST_OF_MONTH = 10
const LATELY_DAYS = 28
const FEWEST_LATELY = 4
/** Added errors, as parts: one year for another, a printed table, the weather of another month. Common practice, no source. */
const YEAR_ERROR = 0.1
const TABLE_ERROR = 0.3
const LATELY_ERROR = 0.35

/**
 * The reference evapotranspiration to reckon with in each month, January first: the mean of the group's own measured days of
 * that month in any year (ten at least), else the month table, else the mean of the last four weeks measured (four days at
 * least); null where there is none of these. Common practice, no source.
 */
export function usualMonthlyDemand(input: {
  days: readonly BookedDay[]
  monthTableMmPerDay?: readonly number[] | undefined
}): MonthDemand[] | null {
  const { monthTableMmPerDay: table } = input
  if (table) checkMonths(table)
  const measured = input.days.filter((day) => day.etoMm !== null)
  const lately = measured.slice(-LATELY_DAYS)
  const months = Array.from({ length: 12 }, (_, month): MonthDemand | null => {
    const own = measured.filter((day) => monthIndex(day.date) === month)
    if (own.length >= FEWEST_OF_MONTH) return meanOf(own, 'own-weather', YEAR_ERROR)
    if (table) return { etoMmPerDay: table[month]!, errorFraction: TABLE_ERROR, from: 'month-table', days: 0 }
    return lately.length >= FEWEST_LATELY ? meanOf(lately, 'lately', LATELY_ERROR) : null
  })
  return months.every((month) => month !== null) ? months : null
}

function meanOf(days: readonly BookedDay[], from: MonthDemand['from'], addedError: number): MonthDemand {
  const errorFraction = Math.hypot(
    mean(days, (day) => day.etoErrorFraction),
    addedError,
  )
  return { etoMmPerDay: mean(days, (day) => day.etoMm!), errorFraction, from, days: days.length }
}
