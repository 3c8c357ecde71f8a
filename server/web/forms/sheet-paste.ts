import { InputError } from '../../../domain/input-error.ts'
import { type CsvTable, cellsOfLine, columnAt, readCsv, sameName } from '../figures/csv.ts'
import type { SheetColumn, SheetRow } from './sheet.ts'

/**
 * Rows pasted from a spreadsheet, cells parted by tabs, semicolons or commas: with the headings of the blank in any order, or
 * without any in the order of the blank. The first row gets the number `from`; a column of numbers that the blank prints is
 * passed over. A heading that the blank does not have is refused, or all below it would be lost unseen. Throws InputError
 * `csv-unknown-heading`, else as `readCsv`.
 */
export function pastedRows(
  columns: readonly SheetColumn[],
  text: string,
  { from, rowLabel }: { from: number; rowLabel: string },
): SheetRow[] {
  const table = readCsv(withHeading(columns, text))
  refuseUnknown(table, [...columns.flatMap(headingsOf), rowLabel])
  const at = columns.map((column) => ({ name: column.name, at: placeOf(table, column) }))
  return table.rows.map(({ cells }, index) => ({
    row: from + index,
    cells: Object.fromEntries(at.map((column) => [column.name, cells[column.at] ?? ''])),
  }))
}

function headingsOf({ label, alsoCalled = [] }: SheetColumn): string[] {
  return [label, ...alsoCalled]
}

function placeOf(table: CsvTable, column: SheetColumn): number {
  const places = headingsOf(column).map((heading) => columnAt(table, heading))
  return places.find((place) => place >= 0) ?? -1
}

function refuseUnknown(table: CsvTable, labels: readonly string[]): void {
  const known = new Set(labels.map((label) => columnAt(table, label)))
  const stranger = table.columns.findIndex(
    (column, at) => column.trim() !== '' && !known.has(at) && table.rows.some(({ cells }) => cells[at]),
  )
  if (stranger >= 0) throw new InputError('csv-unknown-heading', { column: table.columns[stranger]!.trim() })
}

function withHeading(columns: readonly SheetColumn[], text: string): string {
  const lines = text.replace(/^\ufeff/, '').replace(/^\s*\n/, '')
  const { cells, delimiter } = cellsOfLine(lines.split(/\r?\n/, 1)[0]!)
  const isHeading = columns.flatMap(headingsOf).some((heading) => cells.some((cell) => sameName(cell, heading)))
  if (isHeading) return lines
  if (cells.length > columns.length) {
    throw new InputError('csv-cells', { row: 1, cells: cells.length, columns: columns.length })
  }
  const heading = columns.slice(0, cells.length).map(({ label }) => `"${label}"`)
  return `${heading.join(delimiter)}\n${lines}`
}
