import { sql } from 'kysely'
import type { CalendarDate } from '../../../domain/calendar.ts'
import { asWritten, standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'

/** The last day of the last period that was closed with two names; null while none is. */
export async function closedUntil(db: Database): Promise<CalendarDate | null> {
  // Each movement of money asks, in words that need no making.
  const { rows } = await sql<{ last: CalendarDate | null }>`select max(to_on) as last
    from period_closing join approval on approval.subject_id = period_closing.entry_id
    where ${standing('periodClosing')}`.execute(db)
  return rows[0]?.last ?? null
}

/** The day on which a later correction is written: its own day while that is open, else today. */
export async function openDayFor(db: Database, { date, today }: { date: CalendarDate; today: CalendarDate }) {
  const closed = await closedUntil(db)
  return closed !== null && date <= closed ? today : date
}

/** The closing that was written for exactly these days, with its second name or still without, unless it was declined or withdrawn; null while there is none. */
export async function closingOfPeriod(
  db: Database,
  { from, to }: { from: CalendarDate; to: CalendarDate },
): Promise<string | null> {
  const row = await db
    .selectFrom('periodClosing')
    .innerJoin('entry', 'entry.id', 'periodClosing.entryId')
    .where(standing('periodClosing'))
    .where('fromOn', '=', from)
    .where('toOn', '=', to)
    .where('entry.id', 'not in', db.selectFrom('withheld').select('subjectId'))
    .select('entry.id')
    .orderBy(asWritten)
    .executeTakeFirst()
  return row?.id ?? null
}
