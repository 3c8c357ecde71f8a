import type { CalendarDate } from '../../../domain/calendar.ts'
import { kept } from '../../book/kept-answers.ts'
import type { Database } from '../../database/connection.ts'
import { reckonCharges } from './reckoning.ts'

/** How many charges for what was given up to a day nobody has written yet. */
export function countUncharged(db: Database, toOn: CalendarDate): Promise<number> {
  return kept(db, 'charges not written', toOn, async () => (await reckonCharges(db, { toOn })).due.length)
}
