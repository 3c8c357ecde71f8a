import type { Database } from '../../database/connection.ts'
import { tablesOf } from '../../database/tables-of.ts'
import { fitsHash } from '../entry-hash.ts'
import type { WholeEntry } from './whole-entry.ts'

/** A book that was joined into this one, from the place on at which its chain parted from that of the other one. */
export interface PartedBook {
  headHash: string
  /** The last hash before it parted; empty when it parted at the beginning. */
  afterHash: string
  entries: number
  lines: { id: string; wasHash: string }[]
}

/** Both chains from where they parted on; nothing when one book only went on where the other ended. */
export function partedBooks(one: readonly WholeEntry[], other: readonly WholeEntry[]): PartedBook[] {
  const at = one.findIndex(({ entry }, place) => entry.hash !== other[place]?.entry.hash)
  if (at < 0 || at === other.length) return []
  return [one, other].map((book) => ({
    headHash: book.at(-1)!.entry.hash,
    afterHash: book[at - 1]?.entry.hash ?? '',
    entries: book.length,
    lines: book.slice(at).map(({ entry }) => ({ id: entry.id, wasHash: entry.hash })),
  }))
}

export async function readParted(db: Database): Promise<PartedBook[]> {
  // An older book, a copy kept by the auditor say, is read as it is and knows of no joining.
  const tables = await tablesOf(db)
  if (!tables.some(({ name }) => name === 'parted_book')) return []
  const books = await db.selectFrom('partedBook').selectAll().orderBy('headHash').execute()
  const lines = await db.selectFrom('partedLine').selectAll().orderBy('place').execute()
  return books.map(({ headHash, afterHash, entries }) => ({
    headHash,
    afterHash,
    entries,
    lines: lines.filter((line) => line.headHash === headHash).map(({ movedId, wasHash }) => ({ id: movedId, wasHash })),
  }))
}

/** A book that was joined before is kept once. */
export async function writeParted(trx: Database, books: readonly PartedBook[]): Promise<void> {
  const once = [...new Map(books.map((book) => [book.headHash, book])).values()]
  for (const { headHash, afterHash, entries, lines } of once) {
    await trx.insertInto('partedBook').values({ headHash, afterHash, entries }).execute()
    for (const [place, { id, wasHash }] of lines.entries()) {
      await trx.insertInto('partedLine').values({ headHash, place, movedId: id, wasHash }).execute()
    }
  }
}

/**
 * Works out again how the chain of each joined book stood, from what the entries say now; the id of the first entry that does
 * not fit, or null.
 */
export async function brokenParted(db: Database, entries: ReadonlyMap<string, WholeEntry>): Promise<string | null> {
  const books = await readParted(db)
  const known = new Set(['', ...books.flatMap(({ lines }) => lines.map(({ wasHash }) => wasHash))])
  for (const { entry } of entries.values()) known.add(entry.hash)
  const places = placesOf(books, entries)
  for (const { headHash, afterHash, entries: count, lines } of books) {
    if (!known.has(afterHash)) return lines[0]?.id ?? headHash
    if (lines.length === 0 || count !== (places.get(afterHash) ?? 0) + lines.length) return lines[0]?.id ?? headHash
    let previousHash = afterHash
    for (const { id, wasHash } of lines) {
      const whole = entries.get(id)
      const fits = whole && fitsHash({ ...whole.entry, previousHash, hash: wasHash }, whole.facts)
      if (!fits) return id
      previousHash = wasHash
    }
    if (previousHash !== headHash) return lines.at(-1)?.id ?? headHash
  }
  return null
}

/** How many entries stood up to each hash, in this chain and in those that were joined. */
function placesOf(books: readonly PartedBook[], entries: ReadonlyMap<string, WholeEntry>): Map<string, number> {
  const places = new Map([...entries.values()].map(({ entry }) => [entry.hash, entry.seq]))
  for (const { entries: count, lines } of books)
    for (const [place, { wasHash }] of lines.entries()) places.set(wasHash, count - lines.length + place + 1)
  return places
}
