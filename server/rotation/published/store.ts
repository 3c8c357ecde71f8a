import { sql } from 'kysely'
import { addDays, type CalendarDate, type Instant } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
import type { WeekInputs } from '../../../domain/rotation/draft/plan.ts'
import type { PlannedWeek } from '../../../domain/rotation/week/planned-week.ts'
import { appendEntry, freshId, type Pen } from '../../book/entries.ts'
import { frozen, kept } from '../../book/kept-answers.ts'
import { readTogether } from '../../book/register/together.ts'
import { standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'
import { turnRow } from './turn-row.ts'

/** No market week is longer. */
const LONGEST_WEEK_DAYS = 31

/** Raised whenever the stored inputs or results change their shape, or the reckoning its answers. */
const FORMAT_VERSION = 3
const ENGINE_VERSION = '6'

export interface PublishedWeek {
  id: string
  weekStartOn: CalendarDate
  formatVersion: number
  engineVersion: string
  publishedAt: Instant
  publishedBy: string
  inputs: WeekInputs
  results: PlannedWeek
}

/** Those that may reach a day or end after it: what was frozen with the weeks of seasons before is long to read. */
export async function publishedWeeks(db: Database, { reaching }: { reaching: CalendarDate }): Promise<PublishedWeek[]> {
  const rows = await weekRows(db)
    .where('weekStartOn', '>=', addDays(reaching, -LONGEST_WEEK_DAYS))
    .where(standing('publishedWeek'))
    .orderBy('weekStartOn')
    .execute()
  return rows.map(weekOf)
}

const startRows = readTogether('turns', (db) =>
  db.selectFrom('publishedWeek').select('weekStartOn').where(standing('publishedWeek')).orderBy('weekStartOn'),
)

/** The first days of the published weeks, without reading what was frozen with them. */
export function publishedStarts(db: Database): Promise<readonly string[]> {
  return kept(db, 'published starts', null, async () => {
    const rows = await startRows(db)
    return rows.map((row) => row.weekStartOn)
  })
}

export function findPublishedWeek(db: Database, weekStartOn: CalendarDate): Promise<PublishedWeek | undefined> {
  return kept(db, 'published week', weekStartOn, async () => {
    const row = await weekRows(db)
      .where('weekStartOn', '=', weekStartOn)
      .where(standing('publishedWeek'))
      .executeTakeFirst()
    return row && weekOf(row)
  })
}

/** Every publication of a week, the first written first: two where two devices published it apart. */
export async function publicationsOf(db: Database, weekStartOn: CalendarDate): Promise<PublishedWeek[]> {
  const rows = await weekRows(db).where('weekStartOn', '=', weekStartOn).orderBy('entry.writtenAt').execute()
  return rows.map(weekOf)
}

function weekRows(db: Database) {
  return db
    .selectFrom('publishedWeek')
    .innerJoin('entry', 'entry.id', 'publishedWeek.entryId')
    .innerJoin('person', 'person.entryId', 'entry.writtenBy')
    .selectAll('publishedWeek')
    .select(['entry.writtenAt as publishedAt', 'person.name as publishedBy'])
}

function weekOf(row: Awaited<ReturnType<ReturnType<typeof weekRows>['execute']>>[number]): PublishedWeek {
  return {
    id: row.entryId,
    weekStartOn: row.weekStartOn,
    formatVersion: row.formatVersion,
    engineVersion: row.engineVersion,
    publishedAt: row.publishedAt,
    publishedBy: row.publishedBy,
    inputs: readOnce(row.entryId, 'inputs', row.inputs) as WeekInputs,
    results: readOnce(row.entryId, 'results', row.results) as PlannedWeek,
  }
}

/** So many signs of what was frozen stay read: a season of 300 households. Own choice, no source. */
const MOST_SIGNS = 16_000_000
const alreadyRead = new Map<string, { text: string; value: unknown }>()
let signs = 0

/** What stands in a frozen week never changes, so it is not read anew after each entry; of those beyond, the one not asked for longest goes. */
function readOnce(id: string, column: string, text: string): unknown {
  const key = `${id} ${column}`
  const known = alreadyRead.get(key)
  const one = known?.text === text ? known : { text, value: frozen(JSON.parse(text)) }
  alreadyRead.delete(key)
  alreadyRead.set(key, one)
  signs += text.length - (known?.text.length ?? 0)
  for (const [oldest, { text: gone }] of alreadyRead) {
    if (signs <= MOST_SIGNS) break
    alreadyRead.delete(oldest)
    signs -= gone.length
  }
  return one.value
}

/** Freezes a week: what went in, what came out, and its turns. Later figures never change it. */
export async function publishWeek(pen: Pen, inputs: WeekInputs, results: PlannedWeek): Promise<string> {
  const week = {
    weekStartOn: inputs.weekStartOn,
    formatVersion: FORMAT_VERSION,
    engineVersion: ENGINE_VERSION,
    inputs: JSON.stringify(inputs),
    results: JSON.stringify(results),
  }
  const id = freshId(pen)
  const turns = results.turns.map((turn, at) => turnRow(turnId(inputs.weekStartOn, at, id), turn))
  return appendEntry(pen, { kind: 'published-week' }, { publishedWeek: [week], turn: turns }, id)
}

/** A turn is named by its week, its place in the week's list, and so that two devices never give one name twice. */
function turnId(weekStartOn: CalendarDate, at: number, publicationId: string): Id<'turn'> {
  return `${weekStartOn}-${at + 1}-${publicationId.slice(0, 6)}`
}

/** The names of the turns of some publications, in the order of each one's list; older weeks named them by their place alone. */
export function agreedTurns(db: Database, publicationIds: readonly string[]) {
  return db
    .selectFrom('turn')
    .select(['entryId', 'id'])
    .where('entryId', 'in', publicationIds)
    .orderBy(sql`+turn.rowid`)
}

export async function findTurnWeek(db: Database, turnId: Id<'turn'>): Promise<string | undefined> {
  const row = await db
    .selectFrom('turn')
    .leftJoin('publishedWeek', 'publishedWeek.entryId', 'turn.entryId')
    .leftJoin('turnChange', 'turnChange.entryId', 'turn.entryId')
    .select(['publishedWeek.weekStartOn as agreed', 'turnChange.weekStartOn as amended'])
    .where('turn.id', '=', turnId)
    .executeTakeFirst()
  return row?.agreed ?? row?.amended ?? undefined
}
