import { addDays, type CalendarDate, dayOfYear } from '../../../domain/calendar.ts'
import { InputError } from '../../../domain/input-error.ts'
import { type DateOrder, readCsv, readCsvDate, readCsvNumber } from '../../web/figures/csv.ts'
import type { RainRecordYear } from './store.ts'

/** The most ever measured in a day is about 1.8 m (memory), so a figure beyond this is a slip. */
const MOST_MM_A_DAY = 2000

export interface RainDay {
  fellOn: CalendarDate
  rainMm: number | null
}

/**
 * A pasted list with a heading: the day in the first column, its millimetres in the second, empty where nobody read.
 * Throws InputError `rain-columns`, `rain-date` {row}, `rain-future` {row}, `rain-number` {row}, `rain-twice` {row}.
 */
export function rainRecordYears(text: string, order: DateOrder, today: CalendarDate): RainRecordYear[] {
  const table = readCsv(text)
  if (table.columns.length < 2) throw new InputError('rain-columns')
  const years = new Map<number, (number | null)[]>()
  const seen = new Set<string>()
  for (const { line: row, cells } of table.rows) {
    const date = readCsvDate(cells[0]!, order)
    if (date === null) throw new InputError('rain-date', { row, typed: cells[0]! })
    if (date > today) throw new InputError('rain-future', { row })
    if (seen.has(date)) throw new InputError('rain-twice', { row })
    seen.add(date)
    const rainMm = cells[1] === '' ? null : readCsvNumber(cells[1]!)
    if (cells[1] !== '' && !(rainMm !== null && rainMm >= 0 && rainMm <= MOST_MM_A_DAY))
      throw new InputError('rain-number', { row, typed: cells[1]! })
    yearOf(years, date)[dayOfYear(date) - 1] = rainMm
  }
  return [...years].sort(([a], [b]) => a - b).map(([year, rainMm]) => ({ year, rainMm }))
}

function yearOf(years: Map<number, (number | null)[]>, date: CalendarDate): (number | null)[] {
  const year = Number(date.slice(0, 4))
  const known = years.get(year)
  if (known) return known
  const list = Array.from<number | null>({ length: dayOfYear(`${date.slice(0, 4)}-12-31`) }).fill(null)
  years.set(year, list)
  return list
}

/** The days of a record's years, one by one. */
export function daysOfRecord(years: readonly RainRecordYear[]): RainDay[] {
  return years.flatMap(({ year, rainMm }) =>
    rainMm.map((mm, day) => ({ fellOn: addDays(`${year}-01-01`, day), rainMm: mm })),
  )
}
