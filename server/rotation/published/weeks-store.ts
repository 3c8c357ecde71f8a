import { group, sum } from 'd3-array'
import type { CalendarDate } from '../../../domain/calendar.ts'
import { standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'
import { findPublishedWeek, publishedStarts } from './store.ts'

/** The last day of the last published week; null before the first. */
export async function publishedUntil(db: Database): Promise<CalendarDate | null> {
  const last = (await publishedStarts(db)).at(-1)
  return last === undefined ? null : (await findPublishedWeek(db, last))!.inputs.days.at(-1)!
}

/** How many requests, and changes by hand or choices of the committee, there are for each week from a day on. */
export async function askedByWeek(db: Database, fromOn: CalendarDate) {
  const counts: { weekStartOn: CalendarDate; requests: number; changes: number }[] = []
  for (const table of ['waterRequest', 'turnChange', 'weekRule', 'weekSky'] as const) {
    const rows = await db
      .selectFrom(table)
      .select((eb) => ['weekStartOn', eb.fn.countAll<number>().as('count')])
      .where('weekStartOn', '>=', fromOn)
      .where(standing(table))
      .groupBy('weekStartOn')
      .execute()
    const isRequest = table === 'waterRequest'
    for (const { weekStartOn, count } of rows)
      counts.push({ weekStartOn, requests: isRequest ? count : 0, changes: isRequest ? 0 : count })
  }
  return [...group(counts, ({ weekStartOn }) => weekStartOn)]
    .toSorted(([one], [other]) => (one < other ? -1 : 1))
    .map(([weekStartOn, own]) => ({
      weekStartOn,
      requests: sum(own, ({ requests }) => requests),
      changes: sum(own, ({ changes }) => changes),
    }))
}
