import { sql } from 'kysely'
import type { MarketWeek } from '../../../domain/weeks.ts'
import { mustStand } from '../../book/correction-store.ts'
import { appendEntry, type Pen } from '../../book/entries.ts'
import { readTogether } from '../../book/register/together.ts'
import { asWritten, standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'

/** From a day on, which is a market day, the weeks have so many days. */
export async function setMarketWeek(pen: Pen, { fromOn, daysInWeek }: MarketWeek): Promise<string> {
  return appendEntry(pen, { kind: 'market-week' }, { marketWeek: [{ fromOn, daysInWeek }] })
}

/** What was settled for a day to come is taken out again; both lines stay readable. */
export async function withdrawMarketWeek(pen: Pen, id: string, reason: string): Promise<string> {
  await mustStand(pen.trx, id)
  return appendEntry(pen, { kind: 'market-week', correctsId: id, reason }, {})
}

/** The earliest first; of two from one day the one written last. */
export async function marketWeeks(db: Database): Promise<MarketWeek[]> {
  const lines = await marketWeekLines(db)
  return lines.map(({ fromOn, daysInWeek }) => ({ fromOn, daysInWeek }))
}

const writtenWeeks = readTogether('group', (db) =>
  db
    .selectFrom('marketWeek')
    .innerJoin('entry', 'entry.id', 'marketWeek.entryId')
    .select(['fromOn', 'daysInWeek', 'marketWeek.entryId as id'])
    .where(standing('marketWeek'))
    .orderBy('fromOn')
    .orderBy(asWritten),
)

/** The same with the names of their entries. */
export async function marketWeekLines(db: Database): Promise<(MarketWeek & { id: string })[]> {
  const rows = await writtenWeeks(db)
  return [...new Map(rows.map((row) => [row.fromOn, row])).values()]
}

/** Those that would cut a week which another device has published meanwhile: they do not hold. */
export async function heldBackMarketWeeks(db: Database): Promise<MarketWeek[]> {
  return db
    .selectFrom('marketWeek')
    .select(['fromOn', 'daysInWeek'])
    .where(sql<boolean>`not (${standing('marketWeek')})`)
    .orderBy('fromOn')
    .execute()
}
