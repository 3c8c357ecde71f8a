import { createHash } from 'node:crypto'
import { addDays, type CalendarDate } from '../../../domain/calendar.ts'
import type { Group } from '../../../domain/people/group.ts'
import { type MarketWeek, nextWeekOn, type WeekRhythm, weekOf, weekStartOf } from '../../../domain/weeks.ts'
import type { Desk } from '../../web/pages/desk.ts'

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
export function withMarket(group: Group, market: MarketWeek): WeekRhythm {
  const { firstWeekday, marketWeeks } = withoutMarket(group, market)
  return { firstWeekday, marketWeeks: [...marketWeeks, market].toSorted((a, b) => (a.fromOn < b.fromOn ? -1 : 1)) }
}

export function withoutMarket({ firstWeekday, marketWeeks }: Group, { fromOn }: MarketWeek): WeekRhythm {
  return { firstWeekday, marketWeeks: marketWeeks.filter((one) => one.fromOn !== fromOn) }
}

/** `rhythm` is what the weeks would be with the market week that begins on `fromOn`, or without it. */
export async function marketLook(
  { db, parts, group }: Pick<Desk, 'db' | 'parts' | 'group'>,
  rhythm: WeekRhythm,
  { fromOn, daysInWeek }: MarketWeek,
): Promise<MarketLook> {
  const before = weekOf(addDays(fromOn, -1), rhythm)
  const isCut = before.days < weekOf(before.startOn, group).days
  const weeks = weeksFrom(fromOn, rhythm, WEEKS_SHOWN)
  const asked = await parts.people.askedByWeek(db, fromOn)
  const lost = asked.filter(({ weekStartOn }) => weekStartOf(weekStartOn, rhythm) !== weekStartOn)
  const look = { cut: isCut ? before : null, weeks, lost }
  const digest = createHash('sha256')
    .update(JSON.stringify([{ fromOn, daysInWeek }, look]))
    .digest('hex')
  return { ...look, digest }
}

/** The first day on which other weeks can begin: those that are published stay as they are, and those that are over too. */
export async function firstFreeOn({ db, parts, today }: Pick<Desk, 'db' | 'parts' | 'today'>): Promise<CalendarDate> {
  const publishedUntil = await parts.people.publishedUntil(db)
  return publishedUntil !== null && publishedUntil >= today ? addDays(publishedUntil, 1) : today
}

/**
 * Weeks that have begun, or that are published, stay as they are. So do those for which a published week was cut short: without
 * them its last days would be in no week. Others can be let begin from a later day.
 */
export function mayBeTakenBack(group: Group, market: MarketWeek, freeOn: CalendarDate): boolean {
  return weekStartOf(market.fromOn, withoutMarket(group, market)) >= freeOn
}

/** So many weeks from the one that holds a day on. */
export function weeksFrom(on: CalendarDate, rhythm: WeekRhythm, count: number) {
  const weeks = [weekOf(on, rhythm)]
  while (weeks.length < count) weeks.push(weekOf(nextWeekOn(weeks.at(-1)!.startOn, rhythm), rhythm))
  return weeks
}
