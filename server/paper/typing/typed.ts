import { InputError } from '../../../domain/input-error.ts'
import type { SheetColumn, SheetRow } from '../../web/forms/sheet.ts'
import { pastedRows } from '../../web/forms/sheet-paste.ts'
import type { BadRow } from './rows.ts'

export const MOST_ROWS = 400

/** What is wrong in a row, each with the heading of its column. */
export function wrongCells({ errors }: BadRow, columns: readonly SheetColumn[]) {
  return Object.entries(errors).map(([name, error]) => ({
    ...error,
    name,
    label: columns.find((one) => one.name === name)?.label ?? null,
  }))
}

/** What was typed and, below it, what was pasted. */
export function rowsOf(
  columns: readonly SheetColumn[],
  typed: SheetRow[],
  { pasted, rowLabel }: { pasted: string | null; rowLabel: string },
): SheetRow[] | InputError {
  if (pasted === null) return typed
  try {
    const rows = [...typed, ...pastedRows(columns, pasted, { from: (typed.at(-1)?.row ?? 0) + 1, rowLabel })]
    return rows.length > MOST_ROWS ? new InputError('csv-too-many-rows', { rows: rows.length, most: MOST_ROWS }) : rows
  } catch (error) {
    if (error instanceof InputError) return error
    throw error
  }
}

function emptyRows(from: number, count: number): BadRow[] {
  return Array.from({ length: count }, (_, at) => ({ row: from + at, cells: {}, errors: {} }))
}

/** Rows that stand open on a phone while nothing stands in them. */
const OPEN_ROWS = 6

/** Every row with words in it and the first empty ones; what is left waits behind a fold. */
export function openRows(rows: readonly BadRow[]) {
  const filled = rows.findLastIndex(({ cells }) => Object.values(cells).some((cell) => cell !== '')) + 1
  const open = Math.max(OPEN_ROWS, filled + 1)
  return { open: rows.slice(0, open), folded: rows.slice(open) }
}

/** All that was typed, with room for more below. */
export function asTyped(typed: readonly SheetRow[], rowsOfPage: number, errorsOf: readonly BadRow[] = []): BadRow[] {
  const last = typed.at(-1)?.row ?? 0
  const wrong = new Map(errorsOf.map(({ row, errors }) => [row, errors]))
  const rows = typed.map((row) => ({ ...row, errors: wrong.get(row.row) ?? {} }))
  return [...rows, ...emptyRows(last + 1, Math.max(0, rowsOfPage - last))]
}
