import type { Locale } from './locale.ts'

type Words = Pick<Locale, 't' | 'has'>

const FLAGS =
  `estimated stopsPump perennial byClimate wettedPart pumpRunning flowSeen wholeDay together servesStand wasProposed startUnread
  isBack isStruck takenIn ends bothHeard stands`.split(/\s+/)

/** What a file writes in another way than a page does, by the ends of the columns' names. */
const AS_KEPT = [
  [/^id$|Id$/, 'id'],
  [/Minor$/, 'minor'],
  [/Minute$/, 'minute'],
  [/At$/, 'at'],
] as const

/** Whether a column holds nothing but 0 and 1. */
export function isFlag(column: string): boolean {
  return FLAGS.includes(column)
}

/** What a column is called beside a value as pages write it; where one name means different things, what it means in its own table. */
export function columnLabel({ t, has }: Words, table: string, column: string): string {
  const own = `columns.${table}.${column}`
  return t(has(own) ? own : `columns.${column}`)
}

/** What a column is called at the head of a file, where ids, money, hours and answers stand as they are kept. */
export function columnHeading(words: Words, table: string, column: string): string {
  const what = columnLabel(words, table, column)
  const way = isFlag(column) ? 'flag' : AS_KEPT.find(([end]) => end.test(column))?.[1]
  return way ? words.t(`columns.as.${way}`, { what }) : what
}

/** The same of the entry on which a row hangs, told apart from the row's own columns. */
export function entryHeading(words: Words, column: string): string {
  return words.t('columns.as.entry', { what: columnHeading(words, 'entry', column) })
}
