import type { CalendarDate } from '../../../domain/calendar.ts'
import { kept } from '../../book/kept-answers.ts'
import type { Database } from '../../database/connection.ts'
import { dueFees } from '../fixed-fee/store.ts'
import { reckonCharges } from './reckoning.ts'

/** The days of what was given up to a day and of which nobody has written the charge yet. */
export function unchargedDays(db: Database, toOn: CalendarDate): Promise<readonly CalendarDate[]> {
  return kept(db, 'charges not written', toOn, async () =>
    (await reckonCharges(db, { toOn })).due.flatMap(({ draw, missed }) => draw?.onDate ?? missed?.on ?? []),
  )
}

/** How many charges by month, season or share have fallen due up to a day and are not written. */
export async function countFeesDue(db: Database, toOn: CalendarDate): Promise<number> {
  return (await dueFees(db, { toOn })).length
}
