import { sql } from 'kysely'
import type { Instant } from '../../domain/calendar.ts'
import type { Database } from '../database/connection.ts'
import { isPostgres } from '../database/tables-of.ts'
import { fitsHash } from './entry-hash.ts'
import { lastWritten } from './kept-answers.ts'
import { brokenParted } from './merge/parted.ts'
import { factTables, readBook } from './merge/whole-entry.ts'
import { tableOfAnotherMake } from './outside-chain.ts'

interface BookCheck {
  entries: number
  /** The first entry whose hash does not fit what stands in the book, if any. */
  brokenAt: { seq: number; id: string; kind: string } | null
}

/** Works the whole chain out again from what the tables hold now, and the chains of the books that were joined into it. */
export async function verifyBook(db: Database): Promise<BookCheck> {
  const book = await readBook(db)
  const entries = book.length
  const otherMake = await tableOfAnotherMake(db)
  if (otherMake) return { entries, brokenAt: { seq: 0, id: otherMake, kind: 'table of another make' } }
  let previous = ''
  for (const [place, { entry, facts }] of book.entries()) {
    // Entries are numbered without a gap, so that one cut out and one renumbered both show.
    const fits = entry.seq === place + 1 && entry.previousHash === previous && fitsHash({ ...entry }, facts)
    if (!fits) return { entries, brokenAt: { seq: entry.seq, id: entry.id, kind: entry.kind } }
    previous = entry.hash
  }
  const byId = new Map(book.map((whole) => [whole.entry.id, whole]))
  const stray = await strayFact(db, byId)
  if (stray) return { entries, brokenAt: { seq: 0, id: stray, kind: 'fact without an entry' } }
  const parted = await brokenParted(db, byId)
  return { entries, brokenAt: parted ? { seq: 0, id: parted, kind: 'chain of a joined book' } : null }
}

async function strayFact(db: Database, entries: ReadonlyMap<string, unknown>): Promise<string | undefined> {
  for (const table of await factTables(db)) {
    const rows = await db.selectFrom(table).select('entryId').execute()
    const stray = rows.find((row) => !entries.has(row.entryId))
    if (stray) return stray.entryId
  }
  return undefined
}

/** The end of the book: whoever has it on paper finds out whether the last entries were cut off. */
interface BookEnd {
  entries: number
  lastHash: string
  /** When the last entry was written. */
  at: string
}

export async function endOfBook(db: Database): Promise<BookEnd> {
  const last = await lastEntry(db)
  const { entries } = await db
    .selectFrom('entry')
    .select(({ fn }) => fn.countAll<number>().as('entries'))
    .executeTakeFirstOrThrow()
  return { entries: Number(entries), ...last }
}

/** The same without the count, for which every entry is gone through. */
export async function lastEntry(db: Database): Promise<Pick<BookEnd, 'lastHash' | 'at'>> {
  const [last] = await lastWritten(db)
  return { lastHash: last?.hash ?? '', at: last?.writtenAt ?? '' }
}

/** Where a hash that was noted before stands: in this book's own chain, or in that of a book that was joined into it. */
type NotedHash =
  | { at: 'here'; entry: number; writtenAt: Instant; later: number }
  | { at: 'joined'; entry: number; writtenAt: Instant }
  | { at: 'nowhere' }

/** The first twelve signs of a hash are enough; it may be given in groups, as it is printed. */
export async function findHash(db: Database, noted: string): Promise<NotedHash> {
  const wanted = noted.replace(/\s/g, '').toLowerCase()
  if (!/^[0-9a-f]{12,64}$/.test(wanted)) return { at: 'nowhere' }
  const own = await db.selectFrom('entry').select(['seq', 'writtenAt']).where('hash', 'like', `${wanted}%`).execute()
  if (own.length === 1) {
    const [{ seq, writtenAt }] = own as [{ seq: number; writtenAt: Instant }]
    const later = await db
      .selectFrom('entry')
      .select(({ fn }) => fn.countAll<number>().as('count'))
      .where('seq', '>', seq)
      .executeTakeFirstOrThrow()
    const { entries } = await endOfBook(db)
    return { at: 'here', entry: entries - Number(later.count), writtenAt, later: Number(later.count) }
  }
  const joined = await db
    .selectFrom('partedLine')
    .innerJoin('partedBook', 'partedBook.headHash', 'partedLine.headHash')
    .innerJoin('entry', 'entry.id', 'partedLine.movedId')
    .select(['place', 'entries', 'writtenAt', 'partedLine.headHash'])
    .where('wasHash', 'like', `${wanted}%`)
    .execute()
  const line = joined[0]
  if (!line) return { at: 'nowhere' }
  const lines = await db.selectFrom('partedLine').select('place').where('headHash', '=', line.headHash).execute()
  return { at: 'joined', entry: line.entries - lines.length + line.place + 1, writtenAt: line.writtenAt }
}

/** True when the database file itself is sound, whatever stands in it. */
export async function fileIsSound(db: Database): Promise<boolean> {
  // A server of PostgreSQL looks after its own files.
  if (isPostgres(db)) return true
  const result = await sql<{ integrityCheck: string }>`pragma integrity_check`.execute(db)
  return result.rows[0]?.integrityCheck === 'ok'
}
