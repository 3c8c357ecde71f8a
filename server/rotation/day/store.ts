import type { ResharedTurn } from '../../../domain/rotation/day/reshare.ts'
import { toLitreM3 } from '../../../domain/units.ts'
import { appendEntry, type Pen } from '../../book/entries.ts'
import { standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'
import { amendedTurnId } from '../published/amendment-store.ts'
import { turnRow } from '../published/turn-row.ts'

export const DAY_CHANGES = ['half', 'dull', 'down'] as const
export type DayChangeKind = (typeof DAY_CHANGES)[number]

export interface NewDayChange {
  weekStartOn: string
  on: string
  pumpId: string
  kind: DayChangeKind
  fromMinute: number
  /** When a stopped pump ran again; null for the rest of the day. */
  untilMinute: number | null
}

export interface DayChange extends NewDayChange {
  id: string
  byName: string
  at: string
  turns: ResharedRow[]
}

interface ResharedRow {
  turnId: string
  plotId: string
  wasM3: number
  /** What had been drawn and what is still to come. */
  nowM3: number
  amendmentId: string
  /** Drawn before the day changed, by the log or by the plan; null for a turn that had not begun. */
  drawnM3: number | null
  drawnBy: 'log' | 'plan' | null
}

/**
 * Writes that a day has become another one, and one amendment for each turn that it moves, cuts or takes off; the published
 * week stays as it was agreed.
 */
export async function addDayChange(
  pen: Pen,
  change: NewDayChange,
  { reason, turns }: { reason: string; turns: readonly (ResharedTurn & { bookId: string })[] },
): Promise<string> {
  const row = {
    week_start_on: change.weekStartOn,
    on_date: change.on,
    pump_id: change.pumpId,
    kind: change.kind,
    from_minute: change.fromMinute,
    until_minute: change.untilMinute,
  }
  const id = await appendEntry(pen, { kind: 'day-change', reason }, { day_change: [row] })
  let count = await amendmentCount(pen, change.weekStartOn)
  for (const turn of turns) await addResharedTurn(pen, { change, id, reason, turn, count: ++count })
  return id
}

async function amendmentCount(pen: Pen, weekStartOn: string): Promise<number> {
  const { count } = await pen.trx
    .selectFrom('turn_change')
    .select(({ fn }) => fn.countAll<number>().as('count'))
    .where('week_start_on', '=', weekStartOn)
    .where('stage', '=', 'published')
    .executeTakeFirstOrThrow()
  return Number(count)
}

interface Reshared {
  change: NewDayChange
  id: string
  reason: string
  turn: ResharedTurn & { bookId: string }
  count: number
}

async function addResharedTurn(pen: Pen, { change, id, reason, turn, count }: Reshared): Promise<void> {
  const { was, now, bookId, shortM3, drawnM3, drawnBy } = turn
  const amended = {
    week_start_on: change.weekStartOn,
    stage: 'published',
    kind: now === null ? 'drop' : now.startMinute === was.startMinute ? 'lengthen' : 'move',
    turn_id: bookId,
    plot_id: was.plotId,
    outlet_id: was.outletId,
    was_on: was.on,
    on_date: now?.on ?? null,
    start_minute: now?.startMinute ?? null,
    volume_m3: now?.volumeM3 ?? null,
  }
  const shared = {
    day_change_id: id,
    turn_id: bookId,
    plot_id: was.plotId,
    was_m3: was.volumeM3,
    now_m3: toLitreM3(was.volumeM3 - shortM3),
  }
  const stands = now ? [turnRow(amendedTurnId(pen, change.weekStartOn, count), now)] : []
  const drawn = drawnBy === null ? [] : [{ drawn_m3: drawnM3, basis: drawnBy }]
  await appendEntry(
    pen,
    { kind: 'turn-amendment', reason },
    { turn_change: [amended], reshared_turn: [shared], reshared_drawn: drawn, turn: stands },
  )
}

/** The days shared anew, each with its turns before and after. */
export async function dayChangesOn(db: Database, on: string): Promise<DayChange[]> {
  const rows = await db
    .selectFrom('day_change')
    .innerJoin('entry', 'entry.id', 'day_change.entry_id')
    .innerJoin('person', 'person.entry_id', 'entry.written_by')
    .selectAll('day_change')
    .select(['person.name as byName', 'entry.written_at as at'])
    .where('on_date', '=', on)
    .where(standing('day_change'))
    .orderBy('entry.seq')
    .execute()
  if (rows.length === 0) return []
  const turns = await db
    .selectFrom('reshared_turn')
    .leftJoin('reshared_drawn', 'reshared_drawn.entry_id', 'reshared_turn.entry_id')
    .select(['day_change_id', 'turn_id as turnId', 'plot_id as plotId', 'was_m3 as wasM3', 'now_m3 as nowM3'])
    .select(['reshared_turn.entry_id as amendmentId', 'drawn_m3 as drawnM3', 'basis as drawnBy'])
    .where(
      'day_change_id',
      'in',
      rows.map((row) => row.entry_id),
    )
    .where(standing('reshared_turn'))
    .execute()
  return rows.map((row) => ({
    id: row.entry_id,
    weekStartOn: row.week_start_on,
    on: row.on_date,
    pumpId: row.pump_id,
    kind: row.kind as DayChangeKind,
    fromMinute: row.from_minute,
    untilMinute: row.until_minute,
    byName: row.byName,
    at: row.at,
    turns: turns
      .filter((turn) => turn.day_change_id === row.entry_id)
      .map(({ day_change_id: _, ...turn }) => turn as ResharedRow),
  }))
}

/** A day's sheet as it was closed, with the sums that stood then. */
export interface DaySheet {
  at: string
  byName: string
  found: { totals: Record<string, { count: number; volumeM3: number }>; offSheet: string[] }
}

export async function closeDaySheet(pen: Pen, on: string, found: DaySheet['found']): Promise<string> {
  return appendEntry(pen, { kind: 'day-sheet' }, { day_sheet: [{ on_date: on, found: JSON.stringify(found) }] })
}

/** The last closing of a day; a sheet may be closed again after a correction. */
export async function daySheetOn(db: Database, on: string): Promise<DaySheet | null> {
  const row = await db
    .selectFrom('day_sheet')
    .innerJoin('entry', 'entry.id', 'day_sheet.entry_id')
    .innerJoin('person', 'person.entry_id', 'entry.written_by')
    .select(['found', 'person.name as byName', 'entry.written_at as at'])
    .where('on_date', '=', on)
    .where(standing('day_sheet'))
    .orderBy('entry.seq', 'desc')
    .executeTakeFirst()
  return row ? { at: row.at, byName: row.byName, found: JSON.parse(row.found) as DaySheet['found'] } : null
}
