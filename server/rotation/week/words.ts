import { weekEndOn } from '../../../domain/calendar.ts'
import type { Visit } from '../../web/pages/page.ts'

/** The first and the last day of a week, as titles name them. */
export function weekValues({ format }: Pick<Visit, 'format'>, weekStartOn: string): Record<string, string> {
  return { start: format.date(weekStartOn), end: format.date(weekEndOn(weekStartOn)) }
}
