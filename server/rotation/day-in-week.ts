import type { CalendarDate } from '../../domain/calendar.ts'
import type { Group } from '../../domain/people/group.ts'
import { type DayInWeek, marketDayOf, wholeWeekDays } from '../../domain/weeks.ts'
import type { Desk } from '../web/pages/desk.ts'
import type { Option } from '../web/pages/form-page.ts'

const WEEKDAYS = ['1', '2', '3', '4', '5', '6', '7'] as const
const MARKET_DAYS = ['m1', 'm2', 'm3', 'm4', 'm5', 'm6', 'm7', 'm8'] as const

/** How a form writes a day that comes round: a weekday by its number, a day of the market week by m and its place. */
export const DAYS_IN_WEEK = [...MARKET_DAYS, ...WEEKDAYS] as const

export function dayInWeek(typed: string | null): DayInWeek {
  const isMarket = typed?.startsWith('m') ?? false
  return {
    weekday: typed === null || isMarket ? null : Number(typed),
    marketDay: isMarket ? Number(typed!.slice(1)) : null,
  }
}

/** The same back, by which its words stand in the catalogue; null means every day. */
export function typedDay({ weekday, marketDay }: DayInWeek): string | null {
  return marketDay !== null ? `m${marketDay}` : weekday === null ? null : String(weekday)
}

/** Weekdays, and before them the days of the market week where one of some weeks goes by it. */
export function daysToName(group: Group, weeks: readonly CalendarDate[]): (typeof DAYS_IN_WEEK)[number][] {
  const byMarket = weeks.filter((on) => marketDayOf(on, group) !== null).map((on) => wholeWeekDays(on, group))
  const most = Math.max(0, ...byMarket.filter((days) => days !== 7))
  return [...MARKET_DAYS.slice(0, most), ...WEEKDAYS]
}

/** The same as choices; `words` is the key of the field. */
export function dayOptions({ t, group }: Desk, weeks: readonly CalendarDate[], words: string): Option[] {
  return daysToName(group, weeks).map((value) => ({ value, label: t(`${words}.${value}`) }))
}
