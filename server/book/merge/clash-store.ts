import type { Database } from '../../database/connection.ts'
import { appendEntry, type Pen } from '../entries.ts'
import { standing } from '../standing.ts'
import { type Clash, type ClashKind, clashesOf } from './clashes.ts'
import { readParted } from './parted.ts'
import { readBook, type WholeEntry } from './whole-entry.ts'

export interface FoundClash extends Clash {
  entries: [ClashEntry, ClashEntry]
  /** How a person settled it; a correction of either settles it too. */
  settled: { words: string; writerName: string; at: string } | null
  corrected: boolean
}

export interface ClashEntry extends WholeEntry {
  writerName: string
}

/** True once a book was joined with another. */
export async function isJoined(db: Database): Promise<boolean> {
  return (await db.selectFrom('partedBook').select('headHash').limit(1).execute()).length > 0
}

/**
 * What two devices of the group wrote about the same thing while they were apart, those first that nobody has settled. Two
 * entries were written apart when of two books that parted at the same place each holds one of them alone.
 */
export async function listClashes(db: Database): Promise<FoundClash[]> {
  const books = await readParted(db)
  if (books.length < 2) return []
  const whole = new Map((await readBook(db)).map((one) => [one.entry.id, one]))
  const found = new Map<string, Clash>()
  for (const [at, one] of books.entries()) {
    for (const other of books.slice(at + 1).filter(({ afterHash }) => afterHash === one.afterHash)) {
      const [ones, others] = [one, other].map(({ lines }) => new Set(lines.map(({ id }) => id))) as [
        Set<string>,
        Set<string>,
      ]
      const apart = (ids: Set<string>, than: Set<string>) =>
        [...ids].filter((id) => !than.has(id)).map((id) => whole.get(id)!)
      for (const clash of clashesOf(apart(ones, others), apart(others, ones)))
        found.set(`${clash.kind} ${clash.entryIds.join(' ')}`, clash)
    }
  }
  const told = await withWriters(db, [...found.values()], whole)
  return told.toSorted((a, b) => rank(a).localeCompare(rank(b)))
}

function rank({ settled, corrected, entries: [first] }: FoundClash): string {
  return `${settled || corrected ? 1 : 0} ${first.entry.happenedAt} ${first.entry.id}`
}

async function withWriters(db: Database, clashes: Clash[], whole: ReadonlyMap<string, WholeEntry>) {
  const names = new Map(
    (await db.selectFrom('person').select(['entryId', 'name']).execute()).map((row) => [row.entryId, row.name]),
  )
  const settled = await db
    .selectFrom('clashSettled')
    .innerJoin('entry', 'entry.id', 'clashSettled.entryId')
    .innerJoin('person', 'person.entryId', 'entry.writtenBy')
    .select(['clashSettled.kind', 'firstId', 'secondId', 'words', 'person.name as writerName'])
    .select('entry.writtenAt as at')
    .where(standing('clashSettled'))
    .execute()
  const corrected = new Set([...whole.values()].map(({ entry }) => entry.correctsId))
  return clashes.map(({ kind, entryIds }): FoundClash => {
    const entries = entryIds.map((id) => {
      const one = whole.get(id)!
      return { ...one, writerName: names.get(one.entry.writtenBy) ?? '' }
    }) as [ClashEntry, ClashEntry]
    const said = settled.find(
      (row) => row.kind === kind && entryIds.includes(row.firstId) && entryIds.includes(row.secondId),
    )
    return { kind, entryIds, entries, settled: said ?? null, corrected: entryIds.some((id) => corrected.has(id)) }
  })
}

/** Both stand, in somebody's words. */
export async function settleClash(
  pen: Pen,
  { kind, entryIds: [first, second], words }: { kind: ClashKind; entryIds: [string, string]; words: string },
): Promise<string> {
  const row = { kind, firstId: first, secondId: second, words }
  return appendEntry(pen, { kind: 'clash-settled' }, { clashSettled: [row] })
}
