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
