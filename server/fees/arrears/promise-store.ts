import { addDays, type CalendarDate, type Instant } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
import { type WeekRhythm, wholeWeekDays } from '../../../domain/weeks.ts'
import { appendEntry, type Pen } from '../../book/entries.ts'
import { asWritten, standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'

interface NewPromise {
  personId: Id<'person'>
  /** Each time. */
  amountMinor: number
  every: 'week' | 'month'
  firstOn: CalendarDate
  times: number
  words: string | null
}

export interface InstalmentPromise extends NewPromise {
  id: string
  writtenAt: Instant
}

export async function writePromise(pen: Pen, promise: NewPromise): Promise<string> {
  const { personId, amountMinor, every, firstOn, times, words } = promise
  const row = { personId, amountMinor, every, firstOn, times, words }
  return appendEntry(pen, { kind: 'promise', forPersonId: personId }, { promise: [row] })
}

/** The promise last agreed with each person. */
export async function promises(db: Database): Promise<Map<string, InstalmentPromise>> {
  const rows = await db
    .selectFrom('promise')
    .innerJoin('entry', 'entry.id', 'promise.entryId')
    .where(standing('promise'))
    .select(['entry.id', 'personId', 'amountMinor', 'every', 'firstOn'])
    .select(['times', 'words', 'entry.writtenAt'])
    .orderBy(asWritten)
    .execute()
  return new Map(rows.map((row) => [row.personId, { ...row, every: row.every as NewPromise['every'] }]))
}

/** How many of the instalments have come due by a day. */
export function dueTimes({ every, firstOn, times }: NewPromise, on: CalendarDate, rhythm: WeekRhythm): number {
  if (on < firstOn) return 0
  const passed = every === 'week' ? weeksPassed(firstOn, on, rhythm) : monthsBetween(firstOn, on)
  return Math.min(times, passed + 1)
}

/** Whole weeks of the group, one after the other from a day on. */
function weeksPassed(from: CalendarDate, to: CalendarDate, rhythm: WeekRhythm): number {
  let weeks = 0
  for (let due = from; due <= to; due = addDays(due, wholeWeekDays(due, rhythm))) weeks++
  return weeks - 1
}

function monthsBetween(from: CalendarDate, to: CalendarDate): number {
  const months = (date: CalendarDate) => Number(date.slice(0, 4)) * 12 + Number(date.slice(5, 7))
  // A promise of the 31st falls due on the last day of a shorter month.
  const lastDay = addDays(to, 1).endsWith('-01')
  return months(to) - months(from) - (to.slice(8) < from.slice(8) && !lastDay ? 1 : 0)
}
