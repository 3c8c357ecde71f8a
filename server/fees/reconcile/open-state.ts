import type { CalendarDate } from '../../../domain/calendar.ts'
import type { Group } from '../../../domain/people/group.ts'
import type { Database } from '../../database/connection.ts'
import { periodBooks } from './books.ts'
import { hrefOf, periodAsked } from './period.ts'

/** The differences of the running month under which nobody has written a word, and where they stand. */
export async function openDifferences(db: Database, group: Group, today: CalendarDate) {
  const period = periodAsked(group, {}, today)
  const { findings } = await periodBooks(db, { from: period.from, to: period.to, today })
  return { count: findings.filter(({ note }) => !note).length, href: hrefOf(period) }
}
