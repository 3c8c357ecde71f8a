import { sql } from 'kysely'
import type { CalendarDate, Instant } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
import { appendEntry, type Pen } from '../../book/entries.ts'
import { asWritten } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'

/** A publication that was taken back: it stays in the book with the reason, and the week is a draft again. */
export interface TakenBack {
  publishedId: string
  byName: string
  at: Instant
  reason: string
}

export async function takeBackWeek(pen: Pen, publishedId: string, reason: string): Promise<string> {
  return appendEntry(pen, { kind: 'week-taken-back', correctsId: publishedId, reason }, {})
}

/** The publications of a week that were taken back, the first one first. */
export async function takenBackOf(db: Database, weekStartOn: CalendarDate): Promise<TakenBack[]> {
  const rows = await db
    .selectFrom('publishedWeek')
    .innerJoin('entry', 'entry.correctsId', 'publishedWeek.entryId')
    .innerJoin('person', 'person.entryId', 'entry.writtenBy')
    .select(['publishedWeek.entryId as publishedId', 'person.name as byName', 'entry.writtenAt as at', 'entry.reason'])
    .where('weekStartOn', '=', weekStartOn)
    .orderBy(asWritten)
    .execute()
  return rows.map((row) => ({ ...row, reason: row.reason ?? '' }))
}

/**
 * Keeps who first opened the sheet for the board or slips of a day: from then on it may hang there, and the week is not taken back. It is no
 * entry, since whoever only reads writes nothing into the chain.
 */
export async function openSheet(
  db: Database,
  opened: { publishedId: string; personId: string; openedAt: Instant },
): Promise<void> {
  // Looked at again, nothing is written: that would wait for the disk.
  if (await isSheetOpened(db, opened.publishedId)) return
  await db
    .insertInto('sheetOpened')
    .values(opened)
    .onConflict((once) => once.doNothing())
    .execute()
}

export async function isSheetOpened(db: Database, publishedId: string): Promise<boolean> {
  const row = await db
    .selectFrom('sheetOpened')
    .select('publishedId')
    .where('publishedId', '=', publishedId)
    .executeTakeFirst()
  return row !== undefined
}

/** Whether anything was ever written about a week's turns: a draw, a word, a start, a swap, a change, a booking, a day shared anew. */
export async function isWrittenAbout(
  db: Database,
  { weekStartOn, turnIds }: { weekStartOn: CalendarDate; turnIds: readonly Id<'turn'>[] },
): Promise<boolean> {
  for (const table of ['abstraction', 'turnOutcome', 'turnStart'] as const) {
    if (await db.selectFrom(table).select('entryId').where('turnId', 'in', turnIds).executeTakeFirst()) return true
  }
  for (const table of ['turnChange', 'dayChange', 'turnSwap'] as const) {
    const ofWeek = db.selectFrom(table).select('entryId').where('weekStartOn', '=', weekStartOn)
    const found = table === 'turnChange' ? ofWeek.where(sql<boolean>`stage = 'published'`) : ofWeek
    if (await found.executeTakeFirst()) return true
  }
  return false
}
