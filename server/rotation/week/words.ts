import { type CalendarDate, weekEndOn } from '../../../domain/calendar.ts'
import type { WeekDrought } from '../../../domain/rotation/rule/types.ts'
import type { Visit } from '../../web/pages/page.ts'

/** The first and the last day of a week, as titles name them. */
export function weekValues({ format }: Pick<Visit, 'format'>, weekStartOn: CalendarDate): Record<string, string> {
  return { start: format.date(weekStartOn), end: format.date(weekEndOn(weekStartOn)) }
}

/** The classes that a declared stage of drought cuts, each with the part of its need that is left. */
export function droughtCaps(drought: WeekDrought | null): [string, number][] {
  return Object.entries(drought?.capByClass ?? {}).filter(([, part]) => part < 1)
}
