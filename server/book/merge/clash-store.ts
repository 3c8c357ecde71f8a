import type { Database } from '../../database/connection.ts'
import { appendEntry, type Pen } from '../entries.ts'
import { kept } from '../kept-answers.ts'
import { readTogether } from '../register/together.ts'
import type { ClashKind } from '../rules/clash-kinds.ts'
import { standing } from '../standing.ts'
import { type Clash, clashesOf } from './clashes.ts'
import { readParted } from './parted.ts'
import { readBook, type WholeEntry } from './whole-entry.ts'

export interface FoundClash extends Clash {
  entries: [ClashEntry, ClashEntry]
  /** How a person settled it. */
  settled: { words: string; writerName: string; at: string } | null
  /** A correction of either settles it too, and so does a later change that takes its turn off the list. */
  corrected: boolean
}

export interface ClashEntry extends WholeEntry {
  writerName: string
}

const oneParted = readTogether('group', (db) => db.selectFrom('partedBook').select('headHash').limit(1))

/** True once a book was joined with another from which it had parted: only then can two entries clash. */
export function isJoined(db: Database): Promise<boolean> {
  return kept(db, 'joined', null, async () => (await oneParted(db)).length > 0)
}

/** True once another device's book was joined, also one that only went on where this one stood. */
export async function wasEverJoined(db: Database): Promise<boolean> {
  if (await isJoined(db)) return true
  return (await db.selectFrom('bookJoined').select('entryId').limit(1).execute()).length > 0
}

/**
 * What two devices of the group wrote about the same thing while they were apart, those first that nobody has settled. Two
 * entries were written apart when of two books that parted at the same place each holds one of them alone.
 */
export async function listClashes(db: Database): Promise<FoundClash[]> {
  const books = await readParted(db)
  if (books.length < 2) return []
  const moved = books.flatMap(({ lines }) => lines.map(({ id }) => id))
  const whole = new Map((await readBook(db, [...new Set(moved)])).map((one) => [one.entry.id, one]))
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

/** What nobody has settled yet. */
export async function openClashes(db: Database): Promise<FoundClash[]> {
  return (await listClashes(db)).filter(({ settled, corrected }) => !settled && !corrected)
}

/** The turns about which two devices say different things, and nobody has settled it. */
export async function turnsInDoubt(db: Database): Promise<ReadonlySet<string>> {
  if (!(await isJoined(db))) return new Set()
  const entries = (await openClashes(db)).flatMap((clash) => clash.entries)
  return new Set(entries.flatMap(turnsOf))
}

/** Every turn that an entry brings in or speaks of. */
function turnsOf({ facts }: WholeEntry): string[] {
  return facts.flatMap(([table, row]) =>
    [table === 'turn' ? row.id : row.turnId, row.otherTurnId].filter((id) => typeof id === 'string'),
  )
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
  const undone = await undoneEntries(db, [...whole.values()])
  return clashes.map(({ kind, entryIds }): FoundClash => {
    const entries = entryIds.map((id) => {
      const one = whole.get(id)!
      return { ...one, writerName: names.get(one.entry.writtenBy) ?? '' }
    }) as [ClashEntry, ClashEntry]
    const said = settled.find(
      (row) => row.kind === kind && entryIds.includes(row.firstId) && entryIds.includes(row.secondId),
    )
    return { kind, entryIds, entries, settled: said ?? null, corrected: entryIds.some((id) => undone.has(id)) }
  })
}

/** Entries that were corrected since, and those whose every turn a later change took off the list. */
async function undoneEntries(db: Database, entries: readonly WholeEntry[]): Promise<ReadonlySet<string>> {
  const corrections = await db.selectFrom('entry').select('correctsId').where('correctsId', 'is not', null).execute()
  const corrected = new Set(corrections.map(({ correctsId }) => correctsId!))
  const changes = await db.selectFrom('turnChange').select('turnId').where(standing('turnChange')).execute()
  const gone = new Set(changes.map(({ turnId }) => turnId))
  const isUndone = ({ entry, facts }: WholeEntry) => {
    const turns = facts.filter(([table]) => table === 'turn').map(([, row]) => String(row.id))
    return corrected.has(entry.id) || (turns.length > 0 && turns.every((id) => gone.has(id)))
  }
  return new Set(entries.filter(isUndone).map(({ entry }) => entry.id))
}

/** Both stand, in somebody's words. */
export async function settleClash(
  pen: Pen,
  { kind, entryIds: [first, second], words }: { kind: ClashKind; entryIds: [string, string]; words: string },
): Promise<string> {
  const row = { kind, firstId: first, secondId: second, words }
  return appendEntry(pen, { kind: 'clash-settled' }, { clashSettled: [row] })
}
