import type { CalendarDate } from '../../../domain/calendar.ts'
import type { Sky } from '../../../domain/works/pump-day.ts'
import { appendEntry, type Pen } from '../../book/entries.ts'
import { asWritten, standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'

/** The sky that the committee expects in a week; days that nobody spoke of are missing. */
export async function weekSkies(db: Database, weekStartOn: CalendarDate): Promise<Record<string, Sky>> {
  const rows = await db
    .selectFrom('weekSky')
    .innerJoin('entry', 'entry.id', 'weekSky.entryId')
    .select(['onDate', 'sky'])
    .where('weekStartOn', '=', weekStartOn)
    .where(standing('weekSky'))
    .orderBy(asWritten)
    .execute()
  return Object.fromEntries(rows.map((row) => [row.onDate, row.sky as Sky]))
}

export async function setWeekSkies(pen: Pen, weekStartOn: CalendarDate, skies: Record<string, Sky>): Promise<string> {
  const rows = Object.entries(skies).map(([onDate, sky]) => ({ weekStartOn, onDate, sky }))
  return appendEntry(pen, { kind: 'week-sky' }, { weekSky: rows })
}
