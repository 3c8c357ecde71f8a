import type { Instant } from '../../domain/calendar.ts'
import type { Database } from '../database/connection.ts'
import { kept } from './kept-answers.ts'
import { readTogether } from './register/together.ts'

/** Two devices and a day's paper come in out of order within the day (common practice, no source). */
const BEHIND_MS = 24 * 3_600_000
/** A group rests for a season, so that a leap of fewer months may be a pause. Own choice, no source. */
const AHEAD_MS = 120 * 24 * 3_600_000

export interface Clock {
  /** The moment that the book goes by: the machine's, or the one that somebody told while the machine's cannot be right. */
  at: Date
  machineAt: Date
  /** When the last entry was written that no doubtful clock wrote; null in an empty book. */
  lastAt: Instant | null
  /** The machine stands before that entry, or months after it. */
  doubt: 'behind' | 'ahead' | null
  /** The moment by which pages are read: not before the last entry, where a machine of long ago is all there is to go by. */
  readAt: Date
  /** When entries were written whose clock could not be right. */
  marked: ReadonlySet<Instant>
}

/** How far a machine was from the moment that somebody told, book by book, until it is mended or started anew. */
const tolds = new WeakMap<Database, number>()

/** The moment of a request, and whether the machine's clock can be believed. */
export async function readClock(db: Database, machineAt: Date): Promise<Clock> {
  const lastAt = await kept(db, 'last certain moment', null, () => lastCertain(db))
  const sinceMs = lastAt === null ? 0 : machineAt.getTime() - Date.parse(lastAt)
  const doubt = sinceMs < -BEHIND_MS ? 'behind' : sinceMs > AHEAD_MS ? 'ahead' : null
  if (doubt === null) tolds.delete(db)
  const marked = await kept(db, 'moments in doubt', null, () => markedMoments(db))
  const toldMs = tolds.get(db)
  const at = new Date(machineAt.getTime() + (toldMs ?? 0))
  const readAt = doubt === 'behind' && toldMs === undefined ? new Date(lastAt!) : at
  return { at, readAt, machineAt, lastAt, doubt, marked }
}

const lastUnmarked = readTogether('group', (db) =>
  db
    .selectFrom('entry')
    .select('writtenAt')
    .where('seq', '=', ({ selectFrom }) =>
      selectFrom('entry')
        .select(({ fn }) => fn.max('seq').as('last'))
        .where('id', 'not in', (eb) => eb.selectFrom('clockMark').select('entryId')),
    ),
)

async function lastCertain(db: Database): Promise<Instant | null> {
  const [last] = await lastUnmarked(db)
  return last?.writtenAt ?? null
}

/** From now on the book goes by what was told, as long as the machine's clock cannot be right. */
export function goByTold(db: Database, { machineAt, trueAt }: { machineAt: Date; trueAt: Date }): void {
  tolds.set(db, trueAt.getTime() - machineAt.getTime())
}

const writtenMarks = readTogether('group', (db) =>
  db.selectFrom('clockMark').innerJoin('entry', 'entry.id', 'clockMark.entryId').select('entry.writtenAt'),
)

/** The moments of writing of all entries that a doubtful clock wrote: wherever one of them is shown, so is the doubt. */
async function markedMoments(db: Database): Promise<ReadonlySet<Instant>> {
  const rows = await writtenMarks(db)
  return new Set(rows.map(({ writtenAt }) => writtenAt))
}
