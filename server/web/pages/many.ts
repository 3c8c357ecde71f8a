import type { Permission } from '../../../domain/people/permissions.ts'
import type { Pen } from '../../book/entries.ts'
import { type DataOf, type Fields, type Filled, type Form, type ReadForm, readForm, withError } from '../forms/forms.ts'
import type { Marks, SheetColumn, Word } from '../forms/sheet.ts'
import { same, sheetColumns } from '../forms/sheet.ts'
import type { Desk } from './desk.ts'
import type { TakeRow } from './paper-book.ts'

/** A register that is also written in many lines at once, pasted from a spreadsheet or typed from the printed set-up sheet. */
export interface ManyList {
  name: string
  permission: Permission
  /** The columns in the order of the printed sheet: fields of the register's own form. */
  form: Form
  /** What the numbers in its cells stand for, by field. */
  marks?: (desk: Desk) => Promise<Marks>
  /** Words of the book that a cell may hold, by field. */
  words?: (desk: Desk) => Promise<Record<string, Word[]>>
  rows: (desk: Desk) => Promise<TakeRow>
}

/** What the printed sheet calls a column, where it is not called as the field is. */
const ON_SHEET: Record<string, string> = {
  roles: 'office',
  holderIds: 'who',
  method: 'watering',
  outletIds: 'outlets',
  distance: 'metres',
  crestHeight: 'depth',
  crestWidth: 'width',
  bedSlope: 'slope',
  valleyShape: 'shape',
  sandType: 'sand',
  crestLevel: 'crest',
  offTakeAboveBed: 'off-take',
  markAboveCrest: 'mark',
  pumpId: 'pump',
  containerLitres: 'litres',
  seconds1: 'seconds',
  plotId: 'plot',
  cropKey: 'crop',
  sownOn: 'sown',
}

/** The columns under the short headings of the printed sheet; those of the form's own page are read too. */
export async function columnsOf(list: ManyList, desk: Desk): Promise<SheetColumn[]> {
  const { t, locale } = desk
  const own = (await list.words?.(desk)) ?? {}
  return sheetColumns({ form: list.form, head: [] }, t).map((column) => {
    const { name, label } = column
    const letterKey = (value: string) => `many.letter.${name}.${value}`
    const words = (own[name] ?? column.words).map((word) =>
      locale.has(letterKey(word.value)) ? { ...word, letter: t(letterKey(word.value)) } : word,
    )
    const kind = own[name] ? ('word' as const) : column.kind
    const onSheet = `paper.setup.${list.name}.${ON_SHEET[name] ?? name}`
    const alsoCalled = locale.has(onSheet) ? [label, t(onSheet)] : [label]
    return { ...column, kind, words, label: t(`many.head.${name}`), alsoCalled }
  })
}

interface Numbered {
  number: number
  name: string
}

interface NumberedRows<F extends Fields, Made> {
  form: Form<F>
  /** Those that stand in the book. */
  known: readonly Numbered[]
  /** What an empty cell stands for. */
  usual?: Record<string, string | string[]>
  /** What is wrong with cells that are each possible. */
  check?: (data: DataOf<F>, form: Filled) => ReadForm<never> | null
  /** What is written beside the cells and follows from them and the book, or the form with what must be mended. */
  make: (form: Filled & { data: DataOf<F> }) => Promise<Made | { again: Filled }>
  write: (pen: Pen, data: DataOf<F>, made: Made) => Promise<string>
}

/** Where the cells are all that is written. */
export const AS_TYPED = async () => ({})

/**
 * Lines of things that go by a number and a name. A line of both in the book is known and not written again; one without a number
 * is known by its name alone, or gets the next number. Two that are alike on one page come back: nobody can say which is meant.
 */
export function numberedRows<F extends Fields, Made extends object>({
  form,
  known,
  usual = {},
  check,
  make,
  write,
}: NumberedRows<F, Made>): TakeRow {
  const roll = new Roll(known)
  return async (body) => {
    const hasNumber = String(body.number ?? '') !== ''
    const cells = { ...body, number: hasNumber ? body.number : String(roll.next) }
    const read = readForm(form, { ...cells, ...usualOf(usual, body) })
    if (!read.ok) return { ok: false, form: read }
    const wrong = check?.(read.data, read)
    if (wrong) return { ok: false, form: wrong }
    const { data } = read
    const made = await make(read)
    if ('again' in made) return { ok: false, form: made.again }
    const entered = roll.enter(data as unknown as Numbered, hasNumber)
    if (entered === 'known') return { ok: true, write: null }
    if (entered !== 'new') return { ok: false, form: withError(read, entered.field, entered.key, entered.values) }
    return { ok: true, write: (pen) => write(pen, data, made) }
  }
}

function usualOf(usual: Record<string, string | string[]>, body: Record<string, unknown>) {
  return Object.fromEntries(Object.entries(usual).filter(([name]) => [body[name] ?? ''].flat().join('') === ''))
}

/** The numbers and names of the book, and those that the page has brought so far. */
class Roll {
  private readonly book: Numbered[]
  private readonly page: Numbered[] = []

  constructor(known: readonly Numbered[]) {
    this.book = [...known]
  }

  get next(): number {
    return Math.max(0, ...[...this.book, ...this.page].map(({ number }) => number)) + 1
  }

  enter({ number, name }: Numbered, hasNumber: boolean) {
    const isMeant = (other: Numbered) => same(other.name, name) && (!hasNumber || other.number === number)
    const standing = this.book.find((other) => isMeant(other) && !this.page.includes(other))
    const before = this.page.find(isMeant)
    if (before) return { field: hasNumber ? 'number' : 'name', key: 'many.twice', values: { number: before.number } }
    if (standing) {
      // Each of the book is meant by one line only, so that two of one name are both asked about.
      this.page.push(standing)
      return 'known'
    }
    const taken = [...this.book, ...this.page].some((other) => other.number === number)
    if (taken) return { field: 'number', key: 'people.number-taken', values: { number } }
    this.page.push({ number, name })
    return 'new'
  }
}
