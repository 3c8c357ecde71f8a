import { InputError } from '../../../domain/input-error.ts'
import { parseMoney } from '../../../domain/money/parse.ts'
import { type CsvTable, columnAt, type DateOrder, readCsv, readCsvDate } from '../../web/figures/csv.ts'
import type { MoneyStatementLine } from './store.ts'

/** The headings that a list needs, in the words of this book; whoever has other headings writes these above the columns. */
const STATEMENT_HEADINGS = ['date', 'in', 'out', 'words'] as const

/**
 * Reads a bank's or wallet's list: date, in, out, words, and any other columns. Throws InputError `statement-heading`
 * {heading}, `statement-date` {row, typed}, `statement-amount` {row}, and those of `readCsv`.
 */
export function readStatementLines(text: string, { currency, order }: { currency: string; order: DateOrder }) {
  const table = readCsv(text)
  const at = Object.fromEntries(STATEMENT_HEADINGS.map((heading) => [heading, columnAt(table, heading)]))
  const missing = STATEMENT_HEADINGS.slice(0, 3).find((heading) => at[heading] === -1)
  if (missing) throw new InputError('statement-heading', { heading: missing })
  return table.rows.map((row): MoneyStatementLine => {
    const typed = row.cells[at.date!]!
    const on = readCsvDate(typed, order)
    if (on === null) throw new InputError('statement-date', { row: row.line, typed })
    const [inMinor, outMinor] = [amountIn(row, at.in!, currency), amountIn(row, at.out!, currency)]
    if ((inMinor === 0) === (outMinor === 0)) throw new InputError('statement-amount', { row: row.line })
    return { on, amountMinor: inMinor - outMinor, words: row.cells[at.words!] ?? '' }
  })
}

function amountIn({ cells, line }: CsvTable['rows'][number], column: number, currency: string): number {
  const text = cells[column]!.replace(/^-$/, '')
  if (text === '') return 0
  try {
    return parseMoney({ text, currency })
  } catch (error) {
    if (error instanceof InputError) throw new InputError('statement-amount', { row: line })
    throw error
  }
}
