import type { CalendarDate } from '../../../domain/calendar.ts'
import { waitsToBePosted } from '../../../domain/fees/reconcile/difference.ts'
import type { Group } from '../../../domain/people/group.ts'
import type { Database } from '../../database/connection.ts'
import { periodBooks } from './books.ts'
import { hrefOf, periodAsked } from './period.ts'

/** What does not agree in the running month and has no word under it, and where it stands; what waits to be charged agrees. */
export async function openDifferences(db: Database, group: Group, today: CalendarDate) {
  const period = periodAsked(group, {}, today)
  const { findings } = await periodBooks(db, { from: period.from, to: period.to, today })
  return {
    count: findings.filter(({ note, difference }) => !note && !waitsToBePosted(difference)).length,
    href: hrefOf(period),
    from: period.from,
  }
}
