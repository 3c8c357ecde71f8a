import type { CalendarDate } from '../../calendar.ts'
import { InputError } from '../../input-error.ts'

/** Place of a date's month in a table that begins with January. */
export function monthIndex(date: CalendarDate): number {
  return Number(date.slice(5, 7)) - 1
}

/** Throws InputError `month-table-wrong` unless there are twelve values, none below zero. */
export function checkMonths(values: readonly number[]): void {
  if (values.length === 12 && values.every((value) => value >= 0)) return
  throw new InputError('month-table-wrong', { values: values.join(' ') })
}
