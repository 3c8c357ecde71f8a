import { addDays, type CalendarDate, isCalendarDate } from '../../../domain/calendar.ts'
import type { Group } from '../../../domain/people/group.ts'
import { weekOf } from '../../../domain/weeks.ts'

export const PERIODS = ['week', 'month', 'season'] as const
type PeriodName = (typeof PERIODS)[number]

export interface Period {
  name: PeriodName
  from: CalendarDate
  to: CalendarDate
}

/** The week, month or season that holds a day. */
function periodOf(group: Group, { name, on }: { name: PeriodName; on: CalendarDate }): Period {
  if (name === 'week') {
    const { startOn: from, endOn: to } = weekOf(on, group)
    return { name, from, to }
  }
  if (name === 'month') {
    const from = `${on.slice(0, 7)}-01`
    return { name, from, to: addDays(nextMonth(from), -1) }
  }
  return { name, from: group.seasonStartOn, to: group.seasonEndOn }
}

/** What an address asks for; the running month when it asks for nothing that there is. */
export function periodAsked(group: Group, query: { period?: string; on?: string }, today: CalendarDate): Period {
  const name = PERIODS.find((one) => one === query.period) ?? 'month'
  const on = query.on && isCalendarDate(query.on) && query.on <= today ? query.on : today
  return periodOf(group, { name, on })
}

/** The same kind of period before and after; the season has neither in this book. */
export function neighbourPeriods(group: Group, period: Period, today: CalendarDate) {
  if (period.name === 'season') return { before: null, after: null }
  const after = addDays(period.to, 1)
  return {
    before: periodOf(group, { name: period.name, on: addDays(period.from, -1) }),
    after: after <= today ? periodOf(group, { name: period.name, on: after }) : null,
  }
}

function nextMonth(first: CalendarDate): CalendarDate {
  return `${addDays(first, 31).slice(0, 7)}-01`
}

export function hrefOf({ name, from }: Period): string {
  return `/money/agree?period=${name}&on=${from}`
}

/** Where words are written under a difference of a period; the address wants its key behind. */
export function noteAt({ name, from }: Period): string {
  return `/money/settle/finding?period=${name}&on=${from}`
}
