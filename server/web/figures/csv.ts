import { CsvError, parse } from 'csv-parse/sync'
import { stringify } from 'csv-stringify/sync'
import type { FastifyReply } from 'fastify'
import { type CalendarDate, isCalendarDate } from '../../../domain/calendar.ts'
import { InputError } from '../../../domain/input-error.ts'

type Delimiter = ',' | ';' | '\t'

export interface CsvRow {
  /** The line in the file, counted from 1 with the heading, as a spreadsheet counts its rows. */
  line: number
  cells: string[]
}

export interface CsvTable {
  columns: string[]
  rows: CsvRow[]
  delimiter: Delimiter
}

const MOST_ROWS = 20_000
/** What a decoder puts where bytes were no UTF-8, and what UTF-16 is full of. */
const NOT_TEXT = /[\ufffd\0]/

/**
 * Reads a list with one heading line; the sign between cells is told from the heading. Throws InputError `csv-not-utf8`,
 * `csv-empty`, `csv-no-rows`, `csv-too-many-rows`, `csv-quotes` {row}, `csv-cells` {row, cells, columns}, `csv-same-column` {column}.
 */
export function readCsv(text: string): CsvTable {
  if (NOT_TEXT.test(text)) throw new InputError('csv-not-utf8')
  const delimiter = delimiterOf(text)
  const [heading, ...rows] = readRows(text, delimiter)
  if (!heading) throw new InputError('csv-empty')
  if (rows.length === 0) throw new InputError('csv-no-rows')
  if (rows.length > MOST_ROWS) throw new InputError('csv-too-many-rows', { rows: rows.length, most: MOST_ROWS })
  const columns = heading.cells
  const twice = columns.find(
    (name, at) => name !== '' && columns.some((other, before) => before < at && sameName(other, name)),
  )
  if (twice) throw new InputError('csv-same-column', { column: twice })
  for (const { line, cells } of rows) {
    if (cells.length !== columns.length) {
      throw new InputError('csv-cells', { row: line, cells: cells.length, columns: columns.length })
    }
  }
  return { columns, rows, delimiter }
}

function delimiterOf(text: string): Delimiter {
  const heading = text
    .trimStart()
    .split(/\r?\n|\r/, 1)[0]!
    .replace(/"[^"]*"/g, '')
  // Headings are full of commas (“Depth, m”), and nobody types a tab into one.
  if (heading.includes('\t')) return '\t'
  const found = ([',', ';'] as const).map((sign) => ({ sign, count: heading.split(sign).length }))
  return found.sort((a, b) => b.count - a.count)[0]!.sign
}

function readRows(text: string, delimiter: Delimiter): CsvRow[] {
  try {
    const records = parse(text, {
      bom: true,
      delimiter,
      info: true,
      relax_column_count: true,
      skip_empty_lines: true,
      trim: true,
      skip_records_with_empty_values: true,
    }) as unknown as { record: string[]; info: { lines: number } }[]
    return records.map(({ record, info }) => ({ line: info.lines, cells: record }))
  } catch (error) {
    if (error instanceof CsvError) throw new InputError('csv-quotes', { row: Number(error.lines ?? 1) })
    throw error
  }
}

/** The cells of one line, as a spreadsheet would part them. Throws InputError as `readCsv`. */
export function cellsOfLine(line: string): { cells: string[]; delimiter: Delimiter } {
  const delimiter = delimiterOf(line)
  return { cells: readRows(line, delimiter)[0]?.cells ?? [], delimiter }
}

/** Where a column stands, by its name with capitals, commas and spaces aside; -1 where there is none. */
export function columnAt(table: CsvTable, name: string): number {
  return table.columns.findIndex((column) => sameName(column, name))
}

export function sameName(one: string, other: string): boolean {
  return plain(one) === plain(other)
}

function plain(name: string): string {
  return name
    .toLowerCase()
    .replace(/[\s,]+/g, ' ')
    .trim()
}

/** A number with point or comma before its decimals; null where it is none. A list of readings has no signs between thousands. */
export function readCsvNumber(cell: string): number | null {
  const text = cell.replace('\u2212', '-')
  return /^[+-]?(\d+([.,]\d*)?|[.,]\d+)$/.test(text) ? Number(text.replace(',', '.')) : null
}

export const DATE_ORDERS = ['year-first', 'day-first', 'month-first'] as const
export type DateOrder = (typeof DATE_ORDERS)[number]

/** A day written in figures with `-`, `/` or `.` between, the year in four; null where there is no such day. */
export function readCsvDate(cell: string, order: DateOrder): CalendarDate | null {
  const parts = /^(\d{1,4})[-/.](\d{1,2})[-/.](\d{1,4})$/.exec(cell)
  if (!parts) return null
  const [first, second, third] = [parts[1]!, parts[2]!, parts[3]!]
  const [year, month, day] = {
    'year-first': [first, second, third],
    'day-first': [third, second, first],
    'month-first': [third, first, second],
  }[order] as [string, string, string]
  const date = `${year}-${month.padStart(2, '0')}-${day.padStart(2, '0')}`
  return year.length === 4 && isCalendarDate(date) ? date : null
}

export type Cell = string | number | null

/**
 * Writes a list that spreadsheets open as it is: UTF-8 with its mark, and text that a spreadsheet would take for a formula made
 * harmless by an apostrophe before it. With a decimal comma the cells are parted by semicolons.
 */
export function writeCsv(input: {
  columns: readonly string[]
  rows: readonly (readonly Cell[])[]
  decimalComma?: boolean
}): string {
  const { columns, rows, decimalComma = false } = input
  const written = (cell: Cell) => {
    if (cell === null) return ''
    if (typeof cell === 'string') return harmless(cell)
    return decimalComma ? String(cell).replace('.', ',') : String(cell)
  }
  const records = [columns.map(harmless), ...rows.map((row) => row.map(written))]
  return stringify(records, { bom: true, delimiter: decimalComma ? ';' : ',', record_delimiter: '\r\n' })
}

function harmless(text: string): string {
  return /^[=+\-@\t\r\n\uff1d\uff0b\uff0d\uff20]/.test(text) ? `'${text}` : text
}

/** Sends a list as a file to keep; the name is made of plain letters. */
export function sendCsv(reply: FastifyReply, name: string, csv: string) {
  const plainName = name.replace(/[^a-zA-Z0-9-]+/g, '-')
  return reply
    .header('content-disposition', `attachment; filename="${plainName}.csv"`)
    .type('text/csv; charset=utf-8')
    .send(csv)
}
