import type { Id } from '../../../domain/id.ts'
import { rowsInSheets } from '../figures/sheets.ts'
import type { Desk } from './desk.ts'

/** A line of a list: the number in the margin, words, and one figure at the edge; what it leads to says the rest. */
export interface ListLine {
  at: string | number
  words: string
  small?: string
  /** Said loudly under the words: what needs somebody's hand. */
  strong?: string
  figure?: string
  under?: string
  /** Where it leads; nowhere for whoever may only read it. */
  href?: string
  /** Whose mark stands beside the number: one person's, or those of a plot's holders. */
  personId?: Id<'person'>
  plotId?: Id<'plot'>
  /** Of whoever looks: it stands first. */
  isOwn?: boolean
}

/** So many lines stand open; the others wait behind "more". */
const OPEN_LINES = 10
/** A row of a table is higher on a phone. */
const OPEN_ROWS = 5

interface LongList {
  /** What was typed to find somebody or something, and how many lines fit it; null where nothing was asked. */
  find: string
  found: number | null
  open: ListLine[]
  folded: ListLine[]
  /** How many are folded, of which one sheet comes at a time. */
  foldedCount: number
  sheet: ReturnType<typeof rowsInSheets>['sheet'] | null
}

/**
 * A list that can be read on a phone: own lines first, the first ten open, the others folded, and a box to find one by number or
 * name. A number finds its own line alone, words every line that has them.
 */
export function longList({ query }: Pick<Desk, 'query'>, lines: readonly ListLine[], open = OPEN_LINES): LongList {
  const find = (query.find ?? '').trim()
  const ownFirst = [...lines.filter(({ isOwn }) => isOwn), ...lines.filter(({ isOwn }) => !isOwn)]
  if (find === '') {
    const { shown: folded, count, sheet } = rowsInSheets({ query }, 'list', ownFirst.slice(open))
    return { find, found: null, open: ownFirst.slice(0, open), folded, foldedCount: count, sheet }
  }
  const fitting = ownFirst.filter((line) => fits(line, find))
  return { find, found: fitting.length, open: fitting, folded: [], foldedCount: 0, sheet: null }
}

/** Lines that a table must keep: own ones first, some of them open, the others behind "more". */
export function openAndFolded<T>(lines: readonly T[], isOwn: (line: T) => boolean, open = OPEN_ROWS) {
  const ownFirst = [...lines.filter(isOwn), ...lines.filter((line) => !isOwn(line))]
  return { open: ownFirst.slice(0, open), folded: ownFirst.slice(open) }
}

function fits({ at, words, small = '' }: ListLine, find: string): boolean {
  if (/^\d+$/.test(find)) return String(at) === find
  return `${words} ${small}`.toLocaleLowerCase().includes(find.toLocaleLowerCase())
}
