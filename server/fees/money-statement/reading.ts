import { InputError } from '../../../domain/input-error.ts'
import { parseMoney } from '../../../domain/money/parse.ts'
import { type CsvTable, columnAt, type DateOrder, readCsv, readCsvDate } from '../../web/figures/csv.ts'
import type { MoneyStatementLine } from './store.ts'

/** Which column of a list is which, by its heading; what is not named has the heading of this book. */
interface ColumnNames {
  dateColumn: string | null
  inColumn: string | null
  outColumn: string | null
  wordsColumn: string | null
}

/** The headings of a list that can be read at all; null where it cannot. */
export function headingsOf(text: string): string[] | null {
  try {
    return readCsv(text).columns.filter((column) => column !== '')
  } catch (error) {
    if (error instanceof InputError) return null
    throw error
  }
}

/**
 * Reads a bank's or wallet's list: date, in, out, words, and any other columns. One column may hold what came in and, with a
 * minus sign, what went out. Throws InputError `statement-heading` {heading}, `statement-date` {row, typed}, `statement-amount`
 * {row}, and those of `readCsv`.
 */
export function readStatementLines(
  text: string,
  { currency, order, names }: { currency: string; order: DateOrder; names: ColumnNames },
): MoneyStatementLine[] {
  const table = readCsv(text)
  const at = {
    date: columnAt(table, names.dateColumn ?? 'date'),
    in: columnAt(table, names.inColumn ?? 'in'),
    out: columnAt(table, names.outColumn ?? 'out'),
    words: columnAt(table, names.wordsColumn ?? 'words'),
  }
  const missing = (['date', 'in', 'out'] as const).find((heading) => at[heading] === -1)
  if (missing) throw new InputError('statement-heading', { heading: missing })
  return table.rows.map((row): MoneyStatementLine => {
    const typed = row.cells[at.date]!
    const on = readCsvDate(typed, order)
    if (on === null) throw new InputError('statement-date', { row: row.line, typed })
    const amountMinor = at.in === at.out ? signedIn(row, at.in, currency) : movedIn(row, at, currency)
    return { on, amountMinor, words: row.cells[at.words] ?? '' }
  })
}

type Row = CsvTable['rows'][number]

function movedIn(row: Row, at: { in: number; out: number }, currency: string): number {
  const [inMinor, outMinor] = [amountIn(row, row.cells[at.in]!, currency), amountIn(row, row.cells[at.out]!, currency)]
  if ((inMinor === 0) === (outMinor === 0)) throw new InputError('statement-amount', { row: row.line })
  return inMinor - outMinor
}

function signedIn(row: Row, column: number, currency: string): number {
  const text = row.cells[column]!
  const amount = amountIn(row, text.replace(/^[+\-\u2212]\s*/, ''), currency)
  if (amount === 0) throw new InputError('statement-amount', { row: row.line })
  return /^[-\u2212]/.test(text) ? -amount : amount
}

function amountIn({ line }: Row, cell: string, currency: string): number {
  const text = cell.replace(/^-$/, '')
  if (text === '') return 0
  try {
    return parseMoney({ text, currency })
  } catch (error) {
    if (error instanceof InputError) throw new InputError('statement-amount', { row: line })
    throw error
  }
}
