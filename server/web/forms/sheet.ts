import type { Translate, Values } from '../figures/locale.ts'
import type { Field } from './fields.ts'
import type { Form } from './forms.ts'

/** A thing of the book as paper names it: by the number on its plate. */
export interface Mark {
  value: string
  mark: string
  label: string
}
export type Marks = Record<string, Mark[]>

/** How a page of a paper book is laid out, from the form of the screen: one definition for blank, typing page and print. */
export interface Sheet {
  form: Form
  /** Rows of a page, on paper and where it is typed in; left out, as many as a sheet of A4 has under its heading. */
  rows?: number
  /** The fields at the head of a row that are carried down when they are left empty. */
  head: readonly string[]
  /** Fields of the screen that paper has no column for. */
  without?: readonly string[]
  /** Digits of a figure for which the form's own limit says nothing, such as the wheels of a meter. */
  boxes?: Readonly<Record<string, number>>
}

const ROWS_OF_A4 = 16

/** How many rows a page has; a longer one is pasted, or typed in two goes under the same page number. */
export function rowsOfSheet({ rows = ROWS_OF_A4 }: Sheet): number {
  return rows
}

/** What is written in a cell: a day, a clock, a figure, a tick, the number on a plate, a word out of a list, or anything. */
type CellKind = 'day' | 'clock' | 'figure' | 'tick' | 'mark' | 'word' | 'text'

export interface SheetColumn {
  name: string
  field: Field
  label: string
  /** Other headings under which a spreadsheet may have it. */
  alsoCalled?: readonly string[]
  /** A mark is written as the number on a plate, out of a list that is printed below the page. */
  kind: CellKind
  /** Boxes of one digit each, to write a figure or a clock in; 0 where a line is left. */
  boxes: number
  /** Words that may be written, for choices of the catalogue. */
  words: Word[]
}

export interface Word {
  value: string
  label: string
  /** The one letter that a printed sheet asks for in its place. */
  letter?: string
}

/** The columns of a page: those of the head first, then in the order of the screen. */
export function sheetColumns({ form, head, without = [], boxes = {} }: Sheet, t: Translate): SheetColumn[] {
  const beside = Object.keys(form.fields).filter((name) => !head.includes(name) && !without.includes(name))
  return [...head, ...beside].map((name) => {
    const field = form.fields[name]!
    const key = field.words ?? `${form.name}.${name}`
    return {
      name,
      field,
      label: t(key),
      kind: kindOf(field),
      boxes: boxes[name] ?? boxesFor(field),
      words: (field.choices ?? []).map((value) => ({ value, label: t(`${key}.${value}`) })),
    }
  })
}

function kindOf({ control, choices }: Field): CellKind {
  if (control === 'select' || control === 'checks') return choices ? 'word' : 'mark'
  if (control === 'date') return 'day'
  if (control === 'time') return 'clock'
  return control === 'number' ? 'figure' : control === 'tick' ? 'tick' : 'text'
}

const CLOCK_BOXES = 4
const MOST_BOXES = 4

/** A clock has two and two; a whole number as many as its largest has, where those are few. */
function boxesFor({ control, whole, most = 0 }: Field): number {
  if (control === 'time') return CLOCK_BOXES
  const digits = whole ? String(most).length : 0
  return digits <= MOST_BOXES ? digits : 0
}

/** What goes by a number on its plate, to be printed below the page; what has no name besides needs no list. */
export function listsOf(columns: readonly SheetColumn[], marks: Marks): [string, Mark[]][] {
  return columns.flatMap(({ kind, name, label }): [string, Mark[]][] => {
    const own = (marks[name] ?? []).filter((one) => one.label !== '')
    return kind === 'mark' && own.length > 0 ? [[label, own]] : []
  })
}

export type Cells = Record<string, string>
export interface SheetRow {
  row: number
  cells: Cells
}
export type CellErrors = Record<string, { key: string; values: Values; asks?: boolean }>

/** The cells of a page that was typed in, `3.opening` for the third row; rows without a word are left out. */
export function typedRows(columns: readonly SheetColumn[], posted: Record<string, unknown>, most: number): SheetRow[] {
  // Most forms leave most rows of the sheet alone: only those that came are looked at.
  const sent = new Set(Object.keys(posted).map((key) => Number(key.slice(0, Math.max(0, key.indexOf('.'))))))
  const numbers = [...sent].filter((row) => Number.isInteger(row) && row >= 1 && row <= most).sort((a, b) => a - b)
  const rows = numbers.map((row): SheetRow => {
    const cell = (name: string) => String([posted[`${row}.${name}`] ?? ''].flat()[0]).trim()
    return { row, cells: Object.fromEntries(columns.map(({ name }) => [name, cell(name)])) }
  })
  return rows.filter(({ cells }) => Object.values(cells).some((cell) => cell !== ''))
}

/** What is left empty in the head of a row stands for what was written last above it. */
export function carriedDown(rows: readonly SheetRow[], head: readonly string[]): SheetRow[] {
  const last: Cells = {}
  return rows.map(({ row, cells }) => {
    for (const name of head) if (cells[name]) last[name] = cells[name]
    return { row, cells: { ...cells, ...Object.fromEntries(head.map((name) => [name, last[name] ?? ''])) } }
  })
}

/** A row as the form on the screen would have sent it; what names nothing in the book is refused cell by cell. */
export function bodyOfRow(columns: readonly SheetColumn[], cells: Cells, marks: Marks) {
  const body: Record<string, string | string[]> = {}
  const errors: CellErrors = {}
  for (const column of columns) {
    const typed = cells[column.name] ?? ''
    const read = readCell(column, typed, marks[column.name] ?? [])
    if (typeof read === 'string' || Array.isArray(read)) body[column.name] = read
    else errors[column.name] = read
  }
  return { body, errors }
}

type Refusal = { key: string; values: Values }

function readCell({ field, kind, words }: SheetColumn, typed: string, marks: Mark[]): string | string[] | Refusal {
  if (kind === 'tick') return isYes(typed) ? 'yes' : ''
  if (field.control === 'checks') return kind === 'mark' ? readMarks(marks, typed) : readWords(words, typed)
  if (typed === '') return ''
  if (kind === 'mark') return readMark(marks, typed)
  if (words.length === 0) return kind === 'day' ? isoDate(typed) : typed
  return wordMeant(words, typed) ?? unknownWord(words, typed)
}

function readMark(marks: Mark[], typed: string): string | Refusal {
  const meant = marks.find(({ mark }) => same(mark, typed) || mark === isoDate(typed))
  return meant?.value ?? { key: 'paper.no-such-mark', values: { typed } }
}

function readMarks(marks: Mark[], typed: string): string[] | Refusal {
  const parts = new Set(typed.split(/[,;/+&\s]+/).filter((part) => part !== ''))
  const read = [...parts].map((part) => readMark(marks, part))
  const wrong = read.find((one): one is Refusal => typeof one !== 'string')
  return wrong ?? (read as string[])
}

function readWords(words: readonly Word[], typed: string): string[] | Refusal {
  const parts = typed.split(/[,;/]+/).map((part) => part.trim())
  const read = parts.filter((part) => part !== '').map((part) => wordMeant(words, part) ?? unknownWord(words, part))
  const wrong = read.find((one): one is Refusal => typeof one !== 'string')
  return wrong ?? (read as string[])
}

/** A word may be cut short as long as only one begins like that. */
function wordMeant(words: readonly Word[], typed: string): string | undefined {
  const exact = words.find(({ value, label, letter = value }) => [value, label, letter].some((one) => same(one, typed)))
  if (exact) return exact.value
  const begun = words.filter(({ label }) => label.toLowerCase().startsWith(typed.toLowerCase()))
  return begun.length === 1 ? begun[0]!.value : undefined
}

function unknownWord(words: readonly Word[], typed: string): Refusal {
  return { key: 'paper.no-such-word', values: { typed, words: words.map(({ label }) => label).join(', ') } }
}

/** A day written day first, as everywhere but in one country, is turned round; all else is left to the field. */
function isoDate(typed: string): string {
  const dayFirst = /^(\d{1,2})[-/.](\d{1,2})[-/.](\d{4})$/.exec(typed)
  return dayFirst ? `${dayFirst[3]}-${dayFirst[2]!.padStart(2, '0')}-${dayFirst[1]!.padStart(2, '0')}` : typed
}

function isYes(typed: string): boolean {
  return !/^(|0|no|n|-)$/i.test(typed)
}

export function same(one: string, other: string): boolean {
  return one.trim().toLowerCase() === other.trim().toLowerCase()
}
