import { addDays, type CalendarDate } from '../../../domain/calendar.ts'
import type { Group } from '../../../domain/people/group.ts'
import { standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'
import { listTransfers } from '../ledger/transfer-store.ts'
import { hrefOf, periodAsked } from '../reconcile/period.ts'

/** The month before, while nobody has closed it; null where it is closed, or where no money moved in it. */
export async function monthToClose(db: Database, group: Group, today: CalendarDate) {
  const running = periodAsked(group, {}, today)
  const period = periodAsked(group, { period: 'month', on: addDays(running.from, -1) }, today)
  const { from, to } = period
  if (to < group.seasonStartOn) return null
  // From the end on, where the last months stand: a book of ten years has them all before.
  if (!(await listTransfers(db)).findLast(({ on }) => on >= from && on <= to)) return null
  const closed = await db
    .selectFrom('periodClosing')
    .select('entryId')
    .where('fromOn', '<=', from)
    .where('toOn', '>=', to)
    .where(standing('periodClosing'))
    .where('entryId', 'not in', (eb) => eb.selectFrom('withheld').select('subjectId'))
    .executeTakeFirst()
  return closed ? null : { from, href: hrefOf(period) }
}
