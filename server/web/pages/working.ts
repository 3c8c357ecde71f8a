import type { Values } from '../figures/locale.ts'
import { rowsInSheets } from '../figures/sheets.ts'
import type { Desk } from './desk.ts'
import { type Asked, page } from './page.ts'

/** One input of a computed figure, in words and figures as the page shows them. */
export interface WorkingLine {
  label: string
  value: string
  /** The day it was read or set. */
  date?: string | null
  source?: string
  href?: string
}

/** How a figure was worked out: every part is already in words, the title is a key of the catalogue. */
export interface Working {
  title: string
  titleValues?: Values
  /** The figure itself in one sentence. */
  result: string
  /** What the range covers and what would narrow it most. */
  doubt?: string
  /** What may be done about it, in words, with its address. */
  doors?: { href: string; words: string }[]
  /** Whether amounts stand among the values; their currency then stands once above them. */
  isMoney?: boolean
  lines: WorkingLine[]
  equation: string
  source: string
  back?: string
}

/** Decision 4 of the design: every figure can be opened. What many plots go into is told a sheet of them at a time. */
export async function workingPage(asked: Asked & Pick<Desk, 'query'>, working: Working) {
  const { shown: lines, sheet } = rowsInSheets(asked, 'lines', working.lines)
  return page(asked, 'working', { ...working, lines, sheet })
}
