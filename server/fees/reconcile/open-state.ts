import { addDays, type CalendarDate } from '../../../domain/calendar.ts'
import { waitsToBePosted } from '../../../domain/fees/reconcile/difference.ts'
import type { Group } from '../../../domain/people/group.ts'
import type { Database } from '../../database/connection.ts'
import { listClosings } from '../closing/store.ts'
import { type PeriodBooks, periodBooks } from './books.ts'
import { hrefOf, periodAsked } from './period.ts'

/** What does not agree in the running month and has no word under it, and where it stands; what waits to be charged agrees. */
export async function openDifferences(db: Database, group: Group, today: CalendarDate) {
  const period = periodAsked(group, {}, today)
  return {
    count: unexplained(await periodBooks(db, { from: period.from, to: period.to, today })),
    href: hrefOf(period),
  }
}

/** The month before, while nobody has closed it, with how much of it does not agree and has no word; null where no money moved in it. */
export async function monthToClose(db: Database, group: Group, today: CalendarDate) {
  const running = periodAsked(group, {}, today)
  const period = periodAsked(group, { period: 'month', on: addDays(running.from, -1) }, today)
  const isClosed = (await listClosings(db)).some(
    ({ from, to, withheld }) => !withheld && from <= period.from && to >= period.to,
  )
  if (isClosed || period.to < group.seasonStartOn) return null
  const books = await periodBooks(db, { from: period.from, to: period.to, today })
  if (books.receipts.count === 0 && books.arrears.chargesMinor === 0) return null
  return { from: period.from, count: unexplained(books), href: hrefOf(period) }
}

function unexplained({ findings }: PeriodBooks): number {
  return findings.filter(({ note, difference }) => !note && !waitsToBePosted(difference)).length
}
