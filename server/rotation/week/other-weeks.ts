import type { CalendarDate } from '../../../domain/calendar.ts'
import { addDays } from '../../../domain/calendar.ts'
import { nextWeekOn, weekEndOn, weekStartOf } from '../../../domain/weeks.ts'
import type { Desk } from '../../web/pages/desk.ts'
import { publishedStarts } from '../published/store.ts'

/** The weeks that can be opened from a week's page: the one before it and the one after, and all that were published before today's. */
export async function otherWeeks({ db, group, today }: Desk, start: CalendarDate) {
  const current = weekStartOf(today, group)
  const starts = await publishedStarts(db)
  const before = weekStartOf(addDays(start, -1), group)
  return {
    before: starts.includes(before) || before >= current ? before : null,
    after: start <= current ? nextWeekOn(start, group) : null,
    earlier: starts
      .filter((one) => one < current)
      .map((one) => ({ start: one, end: weekEndOn(one, group) }))
      .reverse(),
  }
}
