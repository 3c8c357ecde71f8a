import { type RawBuilder, sql } from 'kysely'
import type { CalendarDate, Instant } from '../../../domain/calendar.ts'
import type { Database } from '../../database/connection.ts'

/**
 * What stands before an entry in the book and was not known where that entry was written, since the two books were joined only later:
 * entries of a joined book follow each other by the moment of writing.
 */
export async function unknownTo(db: Database, { id, seq }: { id: string; seq: number }): Promise<ReadonlySet<string>> {
  const joinings = await db
    .selectFrom('bookJoined')
    .innerJoin('entry', 'entry.id', 'bookJoined.entryId')
    .select(['entry.id', 'shared'])
    .where('entry.seq', '>', seq)
    .execute()
  const unknown = new Set<string>()
  for (const joining of joinings) {
    const brought = await db
      .selectFrom('broughtRuling')
      .innerJoin('entry', 'entry.id', 'broughtRuling.broughtId')
      .select(['entry.id', 'entry.seq'])
      .where('broughtRuling.entryId', '=', joining.id)
      .execute()
    const known = new Set(brought.map((one) => one.id))
    // Written on the other device, it was written without what only this one had.
    const others = known.has(id) ? await writtenBetween(db, joining.shared, seq) : brought
    for (const one of others) if (one.seq < seq && (others === brought || !known.has(one.id))) unknown.add(one.id)
  }
  return unknown
}

function writtenBetween(db: Database, after: number, before: number) {
  return db.selectFrom('entry').select(['id', 'seq']).where('seq', '>', after).where('seq', '<', before).execute()
}

/** So many days whoever it concerns is told what others wrote, from the day on which it reached this book. Own choice. */
export const TOLD_DAYS = 7

/** When an entry of a query reached this book: it was written then, or another device's book brought it. */
export const reachedAt = sql<Instant>`coalesce((
  select max(joining.written_at) from brought_ruling join entry as joining on joining.id = brought_ruling.entry_id
  where brought_ruling.brought_id = entry.id), entry.written_at)`

/** The ids of what other devices' books have brought since a day, whenever it was written. */
export function broughtSince(since: CalendarDate): RawBuilder<unknown> {
  return sql`(
    select brought_ruling.brought_id from book_joined
    join entry as joining on joining.id = book_joined.entry_id and joining.written_at >= ${since}
    join brought_ruling on brought_ruling.entry_id = joining.id)`
}
