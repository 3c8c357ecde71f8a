import type { CalendarDate } from '../../../domain/calendar.ts'
import type { Values } from '../../web/figures/locale.ts'
import type { Desk } from '../../web/pages/desk.ts'
import { closedUntil } from './closed-store.ts'

/** Why nothing can be written on a day: it has not come yet, or its period is closed; null when nothing is in the way. */
export async function closedDayError(
  { db, today, format }: Pick<Desk, 'db' | 'today' | 'format'>,
  date: CalendarDate,
): Promise<{ key: string; values: Values } | null> {
  if (date > today) return { key: 'money.day-to-come', values: {} }
  const closed = await closedUntil(db)
  if (closed === null || date > closed) return null
  return { key: 'error.period-closed', values: { date: format.date(closed) } }
}
