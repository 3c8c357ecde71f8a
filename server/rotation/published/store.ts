import type { WeekInputs } from '../../../domain/rotation/draft/plan.ts'
import type { PlannedWeek } from '../../../domain/rotation/week/planned-week.ts'
import { appendEntry, type Pen } from '../../book/entries.ts'
import type { Database } from '../../database/connection.ts'
import { turnRow } from './turn-row.ts'

/** Raised whenever the stored inputs or results change their shape, or the reckoning its answers. */
export const FORMAT_VERSION = 3
export const ENGINE_VERSION = '4'

export interface PublishedWeek {
  id: string
  weekStartOn: string
  formatVersion: number
  engineVersion: string
  publishedAt: string
  publishedBy: string
  inputs: WeekInputs
  results: PlannedWeek
}

export async function publishedWeeks(db: Database): Promise<PublishedWeek[]> {
  const rows = await weekRows(db).orderBy('week_start_on').execute()
  return rows.map(weekOf)
}

/** The first days of the published weeks, without reading what was frozen with them. */
export async function publishedStarts(db: Database): Promise<string[]> {
  const rows = await db.selectFrom('published_week').select('week_start_on').orderBy('week_start_on').execute()
  return rows.map((row) => row.week_start_on)
}

export async function findPublishedWeek(db: Database, weekStartOn: string): Promise<PublishedWeek | undefined> {
  const row = await weekRows(db).where('week_start_on', '=', weekStartOn).executeTakeFirst()
  return row && weekOf(row)
}

function weekRows(db: Database) {
  return db
    .selectFrom('published_week')
    .innerJoin('entry', 'entry.id', 'published_week.entry_id')
    .innerJoin('person', 'person.entry_id', 'entry.written_by')
    .selectAll('published_week')
    .select(['entry.written_at as publishedAt', 'person.name as publishedBy'])
}

function weekOf(row: Awaited<ReturnType<ReturnType<typeof weekRows>['execute']>>[number]): PublishedWeek {
  return {
    id: row.entry_id,
    weekStartOn: row.week_start_on,
    formatVersion: row.format_version,
    engineVersion: row.engine_version,
    publishedAt: row.publishedAt,
    publishedBy: row.publishedBy,
    inputs: JSON.parse(row.inputs) as WeekInputs,
    results: JSON.parse(row.results) as PlannedWeek,
  }
}

/** Freezes a week: what went in, what came out, and its turns. Later figures never change it. */
export async function publishWeek(pen: Pen, inputs: WeekInputs, results: PlannedWeek): Promise<string> {
  const week = {
    week_start_on: inputs.weekStartOn,
    format_version: FORMAT_VERSION,
    engine_version: ENGINE_VERSION,
    inputs: JSON.stringify(inputs),
    results: JSON.stringify(results),
  }
  const turns = results.turns.map((turn, at) => turnRow(turnId(inputs.weekStartOn, at), turn))
  return appendEntry(pen, { kind: 'published-week' }, { published_week: [week], turn: turns })
}

/** A turn is named by its week and its place in the week's list. */
export function turnId(weekStartOn: string, at: number): string {
  return `${weekStartOn}-${at + 1}`
}

export async function findTurnWeek(db: Database, turnId: string): Promise<string | undefined> {
  const row = await db
    .selectFrom('turn')
    .leftJoin('published_week', 'published_week.entry_id', 'turn.entry_id')
    .leftJoin('turn_change', 'turn_change.entry_id', 'turn.entry_id')
    .select(['published_week.week_start_on as agreed', 'turn_change.week_start_on as amended'])
    .where('turn.id', '=', turnId)
    .executeTakeFirst()
  return row?.agreed ?? row?.amended ?? undefined
}
