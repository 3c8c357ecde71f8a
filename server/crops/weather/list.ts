import { InputError } from '../../../domain/input-error.ts'
import type { Psychrometer } from '../../../domain/water/weather/humidity.ts'
import { checkedDayDemand, type Place } from '../../water/weather/state.ts'
import type { NewWeatherDay, WeatherReading } from '../../water/weather/store.ts'
import { type CsvRow, columnAt, type DateOrder, readCsv, readCsvDate, readCsvNumber } from '../../web/figures/csv.ts'
import { unusual } from '../../web/forms/unusual.ts'
import { type WindUnit, windInMPerS } from './forms.ts'
import { FIELD_OF_REFUSAL, isGale, READING_LIMITS, READING_USUAL, type ReadingField } from './reading-limits.ts'

export interface WeatherListInput {
  text: string
  order: DateOrder
  dateColumn: string
  /** The heading under which each reading stands in the list; readings that it does not have are left out. */
  columns: Partial<Record<ReadingField, string>>
  windUnit: WindUnit | null
  psychrometer: Psychrometer | null
  windHeightM: number | null
  /** Whether days with a gale of a wind were said to be true. */
  galesTrue: boolean
  /** Whether figures that are rare were said to be true. */
  rareTrue: boolean
  today: string
  place: Place
  /** Whether whoever brings it may change days that stand. */
  mayChange: boolean
  /** What stands in the book for a day already. */
  standing: ReadonlyMap<string, WeatherReading>
}

export interface WeatherList {
  /** Days that add to the book or change what stands there. */
  days: NewWeatherDay[]
  /** Days that stand in the book just so. */
  unchanged: number
}

/** What is wrong with one cell, with the row and the heading as they are in the list. */
interface RowTrouble {
  code: string
  values: Record<string, string | number>
}

/** Thrown where rows are wrong; nothing of such a list is written. */
export class ListError extends Error {
  readonly troubles: readonly RowTrouble[]

  constructor(troubles: readonly RowTrouble[]) {
    super(troubles.map((one) => `${one.code} ${JSON.stringify(one.values)}`).join('; '))
    this.troubles = troubles
  }
}

/** A heading of the form that the list does not have: the field and what was looked for. */
export class ColumnError extends InputError {
  readonly field: 'onDate' | ReadingField

  constructor(field: 'onDate' | ReadingField, column: string, columns: readonly string[]) {
    super('column-missing', { column, columns: columns.join(', ') })
    this.field = field
  }
}

/** Reads a list of days; throws InputError for the list as a whole, ColumnError for a heading, ListError for rows. */
export function readWeatherList(input: WeatherListInput): WeatherList {
  const table = readCsv(input.text)
  const place = (field: 'onDate' | ReadingField, column: string) => {
    const at = columnAt(table, column)
    if (at < 0) throw new ColumnError(field, column, table.columns)
    return { at, column: table.columns[at]! }
  }
  const date = place('onDate', input.dateColumn)
  const readings = (Object.entries(input.columns) as [ReadingField, string][]).map(([field, column]) => ({
    field,
    ...place(field, column),
  }))
  return readRows(input, table.rows, date, readings)
}

interface Column {
  at: number
  column: string
}
type ReadingColumn = Column & { field: ReadingField }

function readRows(input: WeatherListInput, rows: CsvRow[], date: Column, readings: ReadingColumn[]): WeatherList {
  const troubles: RowTrouble[] = []
  const days = new Map<string, { day: WeatherReading; row: number }>()
  for (const row of rows) {
    try {
      const day = readDay(input, row, date, readings)
      const earlier = days.get(day.onDate)
      if (earlier)
        throw new InputError('date-twice', { column: date.column, first: earlier.row, typed: row.cells[date.at]! })
      days.set(day.onDate, { day, row: row.line })
    } catch (error) {
      if (!(error instanceof InputError)) throw error
      troubles.push({ code: error.code, values: { ...error.values, row: row.line } })
    }
  }
  if (troubles.length > 0) throw new ListError(troubles)
  const all = [...days.values()].map(({ day }) => day)
  const changed = all.filter((day) => !sameReading(day, input.standing.get(day.onDate)))
  return { days: changed, unchanged: all.length - changed.length }
}

function readDay(input: WeatherListInput, row: CsvRow, date: Column, readings: ReadingColumn[]): WeatherReading {
  const onDate = readDate(input, row.cells[date.at]!, date.column)
  // A list without, say, wind leaves the wind that somebody wrote for the day.
  const day: WeatherReading = { ...(input.standing.get(onDate) ?? NOTHING_READ), onDate }
  for (const { field, at, column } of readings) {
    const unit = field === 'windMPerS' ? input.windUnit : null
    day[field] = readFigure(row.cells[at]!, { field, column, unit })
    if (!input.rareTrue) checkUsual(day[field], field, column)
    if (field === 'windMPerS' && isGale(day) && !input.galesTrue)
      throw new InputError('wind-gale', { column, wind: day.windMPerS! })
  }
  if (input.psychrometer !== null && input.columns.wetBulbC) day.psychrometer = input.psychrometer
  if (input.windHeightM !== null && input.columns.windMPerS) day.windHeightM = input.windHeightM
  checkDay(input.place, day, readings)
  if (!input.mayChange && changesStanding(day, input.standing.get(onDate)))
    throw new InputError('day-officers', { column: date.column, typed: row.cells[date.at]! })
  return day
}

const NOTHING_READ: WeatherReading = {
  onDate: '',
  tmaxC: null,
  tminC: null,
  rainMm: null,
  rhMaxPct: null,
  rhMinPct: null,
  windMPerS: null,
  windHeightM: null,
  dryBulbC: null,
  wetBulbC: null,
  psychrometer: null,
  dewPointC: null,
  vapourPressureKpa: null,
  sunHours: null,
  radiationMjM2: null,
}

function readDate({ order, today }: WeatherListInput, cell: string, column: string): string {
  const date = readCsvDate(cell, order)
  if (date === null) throw new InputError(`date-${order}`, { column, typed: cell })
  if (date > today) throw new InputError('date-to-come', { column, typed: cell })
  return date
}

function readFigure(
  cell: string,
  { field, column, unit }: { field: ReadingField; column: string; unit: WindUnit | null },
): number | null {
  if (cell === '') return null
  const typed = readCsvNumber(cell)
  const value = typed === null ? null : windInMPerS(typed, unit)
  if (value === null) throw new InputError('not-a-number', { column, typed: cell })
  const { min, max } = READING_LIMITS[field]
  if (value < min || value > max) throw new InputError('outside', { column, typed: cell, min, max })
  return value
}

function checkUsual(value: number | null, field: ReadingField, column: string): void {
  const figure = READING_USUAL[field]
  const asked = value === null || !figure ? null : unusual(figure, value)
  if (asked) throw new InputError('unusual', { column, ...asked.values })
}

function checkDay(place: Place, day: WeatherReading, readings: ReadingColumn[]): void {
  try {
    checkedDayDemand(place, day)
  } catch (error) {
    if (!(error instanceof InputError)) throw error
    const field = FIELD_OF_REFUSAL[error.code]
    const column = readings.find((one) => one.field === field)?.column ?? readings[0]?.column ?? ''
    throw new InputError(error.code, { ...error.values, column })
  }
}

/** Whether a day says otherwise than what stands for it; rain where none was read changes nothing that stands. */
export function changesStanding(day: WeatherReading, standing: WeatherReading | undefined): boolean {
  if (!standing) return false
  return !sameReading(standing.rainMm === null ? { ...day, rainMm: null } : day, standing)
}

function sameReading(day: WeatherReading, standing: WeatherReading | undefined): boolean {
  if (!standing) return false
  return (Object.keys(NOTHING_READ) as (keyof WeatherReading)[]).every((field) => day[field] === standing[field])
}
