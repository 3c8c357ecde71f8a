import { createHash } from 'node:crypto'
import { addDays, type CalendarDate } from '../../../domain/calendar.ts'
import type { Group } from '../../../domain/people/group.ts'
import { type MarketWeek, nextWeekOn, type WeekRhythm, weekOf, weekStartOf } from '../../../domain/weeks.ts'
import type { Database } from '../../database/connection.ts'
import type { Desk } from '../../web/pages/desk.ts'
import type { PeopleAsks } from '../asks.ts'

const WEEKS_SHOWN = 4

/** What becomes of the group's weeks when they follow its market from a day on. */
export interface MarketLook {
  /** The last week as it was until now, where it is cut short. */
  cut: { startOn: CalendarDate; endOn: CalendarDate; days: number } | null
  /** The first weeks of the new rhythm. */
  weeks: { startOn: CalendarDate; endOn: CalendarDate; days: number }[]
  /** What is asked or settled for weeks that will not be, by their first day: it does not count in the new ones. */
  lost: { weekStartOn: CalendarDate; requests: number; changes: number }[]
  /** Comes back with the second tap, so that nothing else is settled than what was looked at. */
  digest: string
}

/** The same group with one more rhythm; of two from one day the new one counts. */
function withMarket(group: Group, market: MarketWeek): WeekRhythm {
  const others = group.marketWeeks.filter(({ fromOn }) => fromOn !== market.fromOn)
  const marketWeeks = [...others, market].toSorted((a, b) => (a.fromOn < b.fromOn ? -1 : 1))
  return { firstWeekday: group.firstWeekday, marketWeeks }
}

export async function marketLook(
  db: Database,
  asks: PeopleAsks,
  group: Group,
  market: MarketWeek,
): Promise<MarketLook> {
  const rhythm = withMarket(group, market)
  const { fromOn } = market
  const before = weekOf(addDays(fromOn, -1), rhythm)
  const isCut = weekOf(before.startOn, group).days !== before.days
  const weeks = weeksFrom(fromOn, rhythm, WEEKS_SHOWN)
  const asked = await asks.askedByWeek(db, fromOn)
  const lost = asked.filter(({ weekStartOn }) => weekStartOf(weekStartOn, rhythm) !== weekStartOn)
  const look = { cut: isCut ? before : null, weeks, lost }
  const digest = createHash('sha256')
    .update(JSON.stringify([market, look]))
    .digest('hex')
  return { ...look, digest }
}

/** The first day on which other weeks can begin: those that are published stay as they are, and those that are over too. */
export async function firstFreeOn({ db, parts, today }: Pick<Desk, 'db' | 'parts' | 'today'>): Promise<CalendarDate> {
  const publishedUntil = await parts.people.publishedUntil(db)
  return publishedUntil !== null && publishedUntil >= today ? addDays(publishedUntil, 1) : today
}

/** So many weeks from the one that holds a day on. */
export function weeksFrom(on: CalendarDate, rhythm: WeekRhythm, count: number) {
  const weeks = [weekOf(on, rhythm)]
  while (weeks.length < count) weeks.push(weekOf(nextWeekOn(weeks.at(-1)!.startOn, rhythm), rhythm))
  return weeks
}
