import { sum } from '../../../domain/sum.ts'

/** A long list in sheets that come over a weak line one at a time; `all` asks for the whole, to be printed. */
interface Sheet<T> {
  shown: T[]
  /** Null where there is none. */
  before: number | null
  after: number | null
  number: number
  count: number
}

export function sheetOf<T>(list: readonly T[], { asked, size }: { asked: string | undefined; size: number }): Sheet<T> {
  const count = Math.max(1, Math.ceil(list.length / size))
  if (asked === 'all') return { shown: [...list], before: null, after: null, number: 1, count: 1 }
  const number = Math.min(Math.max(1, Math.trunc(Number(asked)) || 1), count)
  return {
    shown: list.slice((number - 1) * size, number * size),
    before: number > 1 ? number - 1 : null,
    after: number < count ? number + 1 : null,
    number,
    count,
  }
}

/** So many rows come at a time where a page shows more of them. Own choice, no source. */
const ROWS_ON_A_SHEET = 80

/**
 * The rows of a long table or list of a page, a sheet of them at a time: the sheet asked for, or else the one with the first row that is
 * `wanted`. `name` tells the list from the others of its page, and is where the doors to its other sheets lead; what else was asked stays in
 * the address.
 */
export function rowsInSheets<T>(
  { query }: { query: Record<string, string | undefined> },
  name: string,
  rows: readonly T[],
  wanted: (row: T) => boolean = () => true,
) {
  const at = Math.floor(rows.findIndex(wanted) / ROWS_ON_A_SHEET) + 1
  const { shown, ...numbered } = sheetOf(rows, { asked: query[name] ?? String(at), size: ROWS_ON_A_SHEET })
  const others = Object.entries(query).filter(([key]) => key !== name)
  const of = others.map(([key, value = '']) => `${encodeURIComponent(key)}=${encodeURIComponent(value)}&`).join('')
  return { shown, count: rows.length, sheet: { ...numbered, name, of, isAsked: query[name] !== undefined } }
}

/** Groups of rows that are not torn apart, such as the turns of a pump: as many on a sheet as make no more rows than come at a time. */
export function groupsInSheets<T>(
  groups: readonly T[],
  rowsOf: (one: T) => number,
  most: number = ROWS_ON_A_SHEET,
): T[][] {
  const sheets: T[][] = []
  for (const one of groups) {
    const last = sheets.at(-1)
    if (last && sum([...last, one], rowsOf) <= most) last.push(one)
    else sheets.push([one])
  }
  return sheets
}

interface Printed<T> {
  /** In how many rows of a sheet it comes. */
  rowsOf: (one: T) => number
  nameOf: (one: T) => string
  /** How the door to the whole is called. */
  whole: string
}

/** What is printed, a part at a time where there is much of it: a door to each part, called by its first and its last, and one to the whole. */
export function namedParts<T>(
  { query }: { query: Record<string, string | undefined> },
  groups: readonly T[],
  { rowsOf, nameOf, whole }: Printed<T>,
) {
  const sheets = groupsInSheets(groups, rowsOf)
  if (sheets.length < 2) return { shown: [...groups], parts: [] }
  const { shown, number } = sheetOf(sheets, { asked: query.part, size: 1 })
  const isWhole = query.part === 'all'
  const parts = sheets.map((own, at) => ({
    href: `?part=${at + 1}`,
    words: fromTo(own, nameOf),
    isShown: !isWhole && number === at + 1,
  }))
  return { shown: shown.flat(), parts: [...parts, { href: '?part=all', words: whole, isShown: isWhole }] }
}

/** What stands on a sheet, by its first and its last. */
export function fromTo<T>(own: readonly T[], nameOf: (one: T) => string): string {
  return [...new Set([...own.slice(0, 1), ...own.slice(-1)].map(nameOf))].join(' – ')
}

/** A list cut into pages of so many, in its order. */
export function chunksOf<T>(list: readonly T[], size: number): T[][] {
  return Array.from({ length: Math.ceil(list.length / size) }, (_, at) => list.slice(at * size, (at + 1) * size))
}
