import type { CalendarDate } from '../../../domain/calendar.ts'
import { waitsToBePosted } from '../../../domain/fees/reconcile/difference.ts'
import type { Group } from '../../../domain/people/group.ts'
import type { Database } from '../../database/connection.ts'
import { type PeriodBooks, periodBooks } from './books.ts'
import { hrefOf, periodAsked } from './period.ts'

/** What of a period has no word under it: what differs, and what could not be checked and so is not said to agree. What waits to be charged agrees. */
export function openMatters({ findings, cannotSay }: Pick<PeriodBooks, 'findings' | 'cannotSay'>) {
  const differs = findings.filter(({ note, difference }) => !note && !waitsToBePosted(difference)).length
  return { differs, unchecked: cannotSay.filter(({ note }) => !note).length }
}

/** The open matters of the running month, and where they stand. */
export async function openThisMonth(db: Database, group: Group, today: CalendarDate) {
  const period = periodAsked(group, {}, today)
  const books = await periodBooks(db, { from: period.from, to: period.to, today })
  return { ...openMatters(books), href: hrefOf(period), from: period.from }
}
