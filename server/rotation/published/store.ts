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

/** Of a week what pages ask of all weeks of a season: of three hundred households its other parts are more than half of it. */
export interface SeasonWeek extends Omit<PublishedWeek, 'inputs' | 'results'> {
  inputs: Omit<WeekInputs, (typeof LONG_INPUTS)[number]>
  results: Omit<PlannedWeek, (typeof LONG_RESULTS)[number]>
}

const LONG_INPUTS = ['pastWeeks', 'claims', 'notAdmitted', 'receivedM3', 'countedM3', 'turnFacts', 'weirs'] as const
const LONG_RESULTS = ['allocationInput', 'allocation'] as const

/** Those that may reach a day or end after it: what was frozen with the weeks of seasons before is long to read. */
export async function publishedWeeks(db: Database, { reaching }: { reaching: CalendarDate }): Promise<SeasonWeek[]> {
  const rows = await weekRows(db)
    .where('weekStartOn', '>=', addDays(reaching, -LONGEST_WEEK_DAYS))
    .where(standing('publishedWeek'))
    .orderBy('weekStartOn')
    .execute()
  return rows.map((row) => ({
    ...headOf(row),
    inputs: readOnce(db, row, { column: 'inputs', without: LONG_INPUTS }),
    results: readOnce(db, row, { column: 'results', without: LONG_RESULTS }),
  }))
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
    return row && weekOf(db, row)
  })
}

/** Every publication of a week, the first written first: two where two devices published it apart. */
export async function publicationsOf(db: Database, weekStartOn: CalendarDate): Promise<PublishedWeek[]> {
  const rows = await weekRows(db).where('weekStartOn', '=', weekStartOn).orderBy('entry.writtenAt').execute()
  return rows.map((row) => weekOf(db, row))
}

function weekRows(db: Database) {
  return db
    .selectFrom('publishedWeek')
    .innerJoin('entry', 'entry.id', 'publishedWeek.entryId')
    .innerJoin('person', 'person.entryId', 'entry.writtenBy')
    .selectAll('publishedWeek')
    .select(['entry.writtenAt as publishedAt', 'person.name as publishedBy'])
}

type WeekRow = Awaited<ReturnType<ReturnType<typeof weekRows>['execute']>>[number]

function weekOf(db: Database, row: WeekRow): PublishedWeek {
  return {
    ...headOf(row),
    inputs: readOnce<WeekInputs>(db, row, { column: 'inputs' }),
    results: readOnce<PlannedWeek>(db, row, { column: 'results' }),
  }
}

function headOf({ entryId, weekStartOn, formatVersion, engineVersion, publishedAt, publishedBy }: WeekRow) {
  return { id: entryId, weekStartOn, formatVersion, engineVersion, publishedAt, publishedBy }
}

/** So many signs of what was frozen stay read of one book: a season of 300 households without its long parts, or a dozen weeks as a whole. Own choice, no source. */
const MOST_SIGNS = 8_000_000
const alreadyRead = new WeakMap<Database, Read>()

interface Read {
  parts: Map<string, { length: number; signs: number; value: unknown }>
  signs: number
}

interface Part {
  column: 'inputs' | 'results'
  /** What is let go of it. */
  without?: readonly string[]
}

/** What stands in a frozen week never changes, so it is not read anew after each entry; of those beyond, the one not asked for longest goes. */
function readOnce<T>(db: Database, row: WeekRow, { column, without = [] }: Part): T {
  const read = alreadyRead.get(db) ?? { parts: new Map(), signs: 0 }
  alreadyRead.set(db, read)
  const { [column]: text, entryId } = row
  const key = `${entryId} ${column} ${without}`
  const known = read.parts.get(key)
  const one = known?.length === text.length ? known : parsed(text, without)
  read.parts.delete(key)
  read.parts.set(key, one)
  read.signs += one.signs - (known?.signs ?? 0)
  for (const [oldest, { signs }] of read.parts) {
    if (read.signs <= MOST_SIGNS) break
    read.parts.delete(oldest)
    read.signs -= signs
  }
  return one.value as T
}

function parsed(text: string, without: readonly string[]) {
  const whole = JSON.parse(text) as Record<string, unknown>
  const left = Object.fromEntries(Object.entries(whole).filter(([name]) => !without.includes(name)))
  const signs = without.length === 0 ? text.length : JSON.stringify(left).length
  return { length: text.length, signs, value: frozen(left) }
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
