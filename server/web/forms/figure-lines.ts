import { InputError } from '../../../domain/input-error.ts'
import { readCsvNumber } from '../figures/csv.ts'

interface FigureLine {
  /** As counted in the text box, from 1. */
  line: number
  figures: number[]
}

/**
 * Lines of figures as people type or paste them: parted by tabs, semicolons, spaces or commas, decimals with point or
 * comma; a heading without any digit is passed over. Throws InputError `lines-count` {line, found, wanted} and
 * `lines-number` {line, typed}, so that the page can name the line.
 */
export function readFigureLines(text: string, wanted: number): FigureLine[] {
  const lines = text.split(/\r\n|\n|\r/).map((raw, at) => ({ line: at + 1, raw: raw.trim() }))
  const filled = lines.filter(({ raw }) => raw !== '')
  const rows = filled[0] && !/\d/.test(filled[0].raw) ? filled.slice(1) : filled
  return rows.map(({ line, raw }) => {
    const cells = cellsOf(raw, wanted)
    if (cells.length !== wanted) throw new InputError('lines-count', { line, found: cells.length, wanted })
    return { line, figures: cells.map((cell) => figureOf(cell, line)) }
  })
}

function cellsOf(raw: string, wanted: number): string[] {
  const parted = (sign: string | RegExp) => raw.split(sign).map((cell) => cell.trim())
  const withoutEmptyEnd = (cells: string[]) => (cells.at(-1) === '' ? cells.slice(0, -1) : cells)
  if (raw.includes('\t')) return withoutEmptyEnd(parted('\t'))
  if (raw.includes(';')) return withoutEmptyEnd(parted(';'))
  const bySpace = parted(/\s+/)
  // With spaces between, a comma is a decimal sign; without, it parts the cells.
  if (bySpace.length === wanted && bySpace.every((cell) => readCsvNumber(cell) !== null)) return bySpace
  return raw.includes(',') ? withoutEmptyEnd(parted(',')) : bySpace
}

function figureOf(cell: string, line: number): number {
  const figure = readCsvNumber(cell)
  if (figure === null) throw new InputError('lines-number', { line, typed: cell })
  return figure
}
