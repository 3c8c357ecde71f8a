import type { Sky } from '../../../domain/rotation/pump-flow/day.ts'
import { appendEntry, type Pen } from '../../book/entries.ts'
import { standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'

/** The sky that the committee expects in a week; days that nobody spoke of are missing. */
export async function weekSkies(db: Database, weekStartOn: string): Promise<Record<string, Sky>> {
  const rows = await db
    .selectFrom('week_sky')
    .innerJoin('entry', 'entry.id', 'week_sky.entry_id')
    .select(['on_date', 'sky'])
    .where('week_start_on', '=', weekStartOn)
    .where(standing('week_sky'))
    .orderBy('seq')
    .execute()
  return Object.fromEntries(rows.map((row) => [row.on_date, row.sky as Sky]))
}

export async function setWeekSkies(pen: Pen, weekStartOn: string, skies: Record<string, Sky>): Promise<string> {
  const rows = Object.entries(skies).map(([on_date, sky]) => ({ week_start_on: weekStartOn, on_date, sky }))
  return appendEntry(pen, { kind: 'week-sky' }, { week_sky: rows })
}
