import type { CalendarDate } from '../../../domain/calendar.ts'
import { standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'

/** The last day of the last period that was closed with two names; null while none is. */
export async function closedUntil(db: Database): Promise<CalendarDate | null> {
  const row = await db
    .selectFrom('period_closing')
    .innerJoin('approval', 'approval.subject_id', 'period_closing.entry_id')
    .select((eb) => eb.fn.max('period_closing.to_on').as('last'))
    .where(standing('period_closing'))
    .executeTakeFirst()
  return row?.last ?? null
}

/** The day on which a later correction is written: its own day while that is open, else today. */
export async function openDayFor(db: Database, { date, today }: { date: CalendarDate; today: CalendarDate }) {
  const closed = await closedUntil(db)
  return closed !== null && date <= closed ? today : date
}

/** The closing that was written for exactly these days, with its second name or still without; null while there is none. */
export async function closingOfPeriod(
  db: Database,
  { from, to }: { from: CalendarDate; to: CalendarDate },
): Promise<string | null> {
  const row = await db
    .selectFrom('period_closing')
    .innerJoin('entry', 'entry.id', 'period_closing.entry_id')
    .where(standing('period_closing'))
    .where('from_on', '=', from)
    .where('to_on', '=', to)
    .select('entry.id')
    .orderBy('entry.seq')
    .executeTakeFirst()
  return row?.id ?? null
}
