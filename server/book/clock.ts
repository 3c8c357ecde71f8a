import type { Instant } from '../../domain/calendar.ts'
import type { Database } from '../database/connection.ts'
import type { Pen } from './entries.ts'
import { kept } from './kept-answers.ts'
import { readTogether } from './register/together.ts'
import { standing } from './standing.ts'

/** So far a clock is mended backwards, or stands behind that of another machine at the same book, without anybody being told. Own choice, no source. */
const BEHIND_MS = 15 * 60_000
/** What was opened longer ahead than this was opened by a clock that stood ahead and is mended. Own choice, no source. */
const SEEN_MS = 24 * 3_600_000
/** A group rests for a season, so that a leap of fewer months may be a pause. Own choice, no source. */
const AHEAD_MS = 120 * 24 * 3_600_000

export interface Clock {
  /** The moment that the book goes by: the machine's, or the one that somebody told while the machine's cannot be right. */
  at: Date
  machineAt: Date
  /** When the last entry was written that no doubtful clock wrote, or somebody signed in was here since; null in an empty book. */
  lastAt: Instant | null
  /** The machine stands before that moment, or months after it. */
  doubt: 'behind' | 'ahead' | null
  /** The moment by which pages are read and forms taken: not before `lastAt`, since the time of a book does not run backwards. */
  readAt: Date
  /** When entries were written whose clock could not be right. */
  marked: ReadonlySet<Instant>
}

/** How far a machine was from the moment that somebody told, book by book, until it is mended or started anew. */
const tolds = new WeakMap<Database, number>()

/** The moment of a request, and whether the machine's clock can be believed. */
export async function readClock(db: Database, machineAt: Date): Promise<Clock> {
  const lastAt = await lastUse(db, machineAt)
  const sinceMs = lastAt === null ? 0 : machineAt.getTime() - Date.parse(lastAt)
  const doubt = sinceMs < -BEHIND_MS ? 'behind' : sinceMs > AHEAD_MS ? 'ahead' : null
  if (doubt === null) tolds.delete(db)
  const marked = await kept(db, 'moments in doubt', null, () => markedMoments(db))
  const toldMs = tolds.get(db)
  const at = new Date(machineAt.getTime() + (toldMs ?? 0))
  const readAt = lastAt !== null && at.getTime() < Date.parse(lastAt) ? new Date(lastAt) : at
  return { at, readAt, machineAt, lastAt, doubt, marked }
}

/** The last certain entry, or whoever was here after it, while the clock stands before both: so nobody reads that an hour is over and sets it back. */
async function lastUse(db: Database, machineAt: Date): Promise<Instant | null> {
  const lastAt = await kept(db, 'last certain moment', null, () => lastCertain(db))
  const { seenAt } = await db
    .selectFrom('session')
    .select(({ fn }) => fn.max('seenAt').as('seenAt'))
    .executeTakeFirstOrThrow()
  if (lastAt === null || seenAt === null || seenAt <= lastAt) return lastAt
  const aheadMs = Date.parse(seenAt) - machineAt.getTime()
  return aheadMs > BEHIND_MS && aheadMs <= SEEN_MS ? seenAt : lastAt
}

/** The last entry that no doubtful clock wrote; or the moment that was told, with another officer's name, of a clock that had stood ahead. */
const lastUnmarked = readTogether('group', (db) =>
  db
    .selectFrom('entry')
    .leftJoin('clockMark', 'clockMark.entryId', 'entry.id')
    .leftJoin('clockTold', 'clockTold.entryId', 'entry.id')
    .select(['entry.writtenAt', 'clockMark.machineAt', 'clockTold.toldAt'])
    .where('seq', '=', ({ selectFrom }) =>
      selectFrom('entry')
        .select(({ fn }) => fn.max('seq').as('last'))
        .where(({ or, eb }) =>
          or([
            eb('id', 'not in', (own) => own.selectFrom('clockMark').select('entryId')),
            eb('id', 'in', (own) =>
              own
                .selectFrom('clockTold')
                .innerJoin('nameNeeded', 'nameNeeded.entryId', 'clockTold.entryId')
                .select('clockTold.entryId')
                .where(standing('clockTold')),
            ),
          ]),
        ),
    ),
)

async function lastCertain(db: Database): Promise<Instant | null> {
  const [last] = await lastUnmarked(db)
  return (last?.machineAt == null ? last?.writtenAt : last.toldAt) ?? null
}

/** From now on the book goes by what was told, as long as the machine's clock cannot be right. */
export function goByTold(db: Database, { machineAt, trueAt }: { machineAt: Date; trueAt: Date }): void {
  tolds.set(db, trueAt.getTime() - machineAt.getTime())
}

/** A clock that had stood ahead is mended, as another officer says too: what was opened meanwhile is no witness that it was set back. */
export async function goBack({ trx }: Pen, toldId: string): Promise<void> {
  const told = await trx.selectFrom('clockTold').select('toldAt').where('entryId', '=', toldId).execute()
  for (const { toldAt } of told)
    await trx.updateTable('session').set({ seenAt: toldAt }).where('seenAt', '>', toldAt).execute()
}

const writtenMarks = readTogether('group', (db) =>
  db.selectFrom('clockMark').innerJoin('entry', 'entry.id', 'clockMark.entryId').select('entry.writtenAt'),
)

/** The moments of writing of all entries that a doubtful clock wrote: wherever one of them is shown, so is the doubt. */
async function markedMoments(db: Database): Promise<ReadonlySet<Instant>> {
  const rows = await writtenMarks(db)
  return new Set(rows.map(({ writtenAt }) => writtenAt))
}
