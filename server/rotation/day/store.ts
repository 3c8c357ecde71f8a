import type { CalendarDate } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
import type { ResharedTurn } from '../../../domain/rotation/day/reshare.ts'
import type { NewManualChange } from '../../../domain/rotation/week/manual-change.ts'
import { type M3, toLitreM3 } from '../../../domain/units.ts'
import { standsOn } from '../../../domain/works/fault.ts'
import { appendEntry, type Pen } from '../../book/entries.ts'
import { kept } from '../../book/kept-answers.ts'
import { asWritten, standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'
import { stoppedByFaults } from '../../works/fault/store.ts'
import { addAmendment } from '../published/amendment-store.ts'

export const DAY_CHANGES = ['half', 'dull', 'given', 'down'] as const
type DayChangeKind = (typeof DAY_CHANGES)[number]

export interface NewDayChange {
  weekStartOn: CalendarDate
  on: string
  pumpId: Id<'pump'>
  kind: DayChangeKind
  fromMinute: number
  /** When a stopped pump ran again; null for the rest of the day. */
  untilMinute: number | null
  /** What the pump had given by then, and was to have given; null where only the sky was named. */
  given: { givenM3: number; expectedM3: number } | null
}

export interface DayChange extends NewDayChange {
  id: string
  byName: string
  at: string
  turns: ResharedRow[]
}

interface ResharedRow {
  turnId: Id<'turn'>
  plotId: Id<'plot'>
  wasM3: M3
  /** What had been drawn and what is still to come. */
  nowM3: M3
  amendmentId: string
  /** Drawn before the day changed, by the log or by the plan; null for a turn that had not begun. */
  drawnM3: M3 | null
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
    weekStartOn: change.weekStartOn,
    onDate: change.on,
    pumpId: change.pumpId,
    kind: change.given ? nearestSky(change.given) : change.kind,
    fromMinute: change.fromMinute,
    untilMinute: change.untilMinute,
  }
  const { given } = change
  const beside = given ? [{ givenM3: given.givenM3, expectedM3: given.expectedM3 }] : []
  const id = await appendEntry(pen, { kind: 'day-change', reason }, { dayChange: [row], dayGiven: beside })
  for (const turn of turns) await addResharedTurn(pen, { weekStartOn: change.weekStartOn, id, reason, turn })
  return id
}

/** The word for the sky that stands in the row of a day whose pump was read: half a sun gives 0.7, a dull sky 0.45. */
function nearestSky({ givenM3, expectedM3 }: NonNullable<NewDayChange['given']>): 'half' | 'dull' {
  return givenM3 / expectedM3 > (0.7 + 0.45) / 2 ? 'half' : 'dull'
}

interface Reshared {
  weekStartOn: CalendarDate
  id: string
  reason: string
  turn: ResharedTurn & { bookId: string }
}

async function addResharedTurn(pen: Pen, { weekStartOn, id, reason, turn }: Reshared): Promise<void> {
  const { was, now, bookId, shortM3, drawnM3, drawnBy } = turn
  const kind = now === null ? 'drop' : now.startMinute === was.startMinute ? 'lengthen' : 'move'
  const change: NewManualChange = {
    kind,
    plotId: was.plotId,
    outletId: was.outletId,
    wasOn: was.on,
    on: now?.on ?? null,
    startMinute: now?.startMinute ?? null,
    volumeM3: now?.volumeM3 ?? null,
    reason,
  }
  const shared = {
    dayChangeId: id,
    turnId: bookId,
    plotId: was.plotId,
    wasM3: was.volumeM3,
    nowM3: toLitreM3(was.volumeM3 - shortM3),
  }
  const resharedDrawn = drawnBy === null ? [] : [{ drawnM3, basis: drawnBy }]
  await addAmendment(
    pen,
    { weekStartOn, turnId: bookId, change, turn: now },
    { facts: () => ({ resharedTurn: [shared], resharedDrawn }) },
  )
}

/** The days shared anew, each with its turns before and after. */
export function dayChangesOn(db: Database, ...days: string[]): Promise<readonly DayChange[]> {
  return kept(db, 'days shared anew', days, () => readDayChanges(db, days))
}

async function readDayChanges(db: Database, days: string[]): Promise<DayChange[]> {
  const rows = await db
    .selectFrom('dayChange')
    .innerJoin('entry', 'entry.id', 'dayChange.entryId')
    .innerJoin('person', 'person.entryId', 'entry.writtenBy')
    .leftJoin('dayGiven', 'dayGiven.entryId', 'dayChange.entryId')
    .selectAll('dayChange')
    .select(['givenM3', 'expectedM3'])
    .select(['person.name as byName', 'entry.writtenAt as at'])
    .where('onDate', 'in', days)
    .where(standing('dayChange'))
    .orderBy('onDate')
    .orderBy(asWritten)
    .execute()
  if (rows.length === 0) return []
  const turns = await db
    .selectFrom('resharedTurn')
    .leftJoin('resharedDrawn', 'resharedDrawn.entryId', 'resharedTurn.entryId')
    .select(['dayChangeId', 'turnId', 'plotId', 'wasM3', 'nowM3'])
    .select(['resharedTurn.entryId as amendmentId', 'drawnM3', 'basis as drawnBy'])
    .where(
      'dayChangeId',
      'in',
      rows.map((row) => row.entryId),
    )
    .where(standing('resharedTurn'))
    .execute()
  return rows.map((row) => ({
    id: row.entryId,
    weekStartOn: row.weekStartOn,
    on: row.onDate,
    pumpId: row.pumpId,
    kind: row.givenM3 === null ? (row.kind as DayChangeKind) : 'given',
    given: row.givenM3 === null ? null : { givenM3: row.givenM3, expectedM3: row.expectedM3! },
    fromMinute: row.fromMinute,
    untilMinute: row.untilMinute,
    byName: row.byName,
    at: row.at,
    turns: turns
      .filter((turn) => turn.dayChangeId === row.entryId)
      .map(({ dayChangeId: _, ...turn }) => turn as ResharedRow),
  }))
}

/** A day's sheet as it was closed, with the sums that stood then. */
export interface DaySheet {
  at: string
  byName: string
  found: { totals: Record<string, { count: number; volumeM3: M3 }>; offSheet: string[] }
}

export async function closeDaySheet(pen: Pen, on: string, found: DaySheet['found']): Promise<string> {
  return appendEntry(pen, { kind: 'day-sheet' }, { daySheet: [{ onDate: on, found: JSON.stringify(found) }] })
}

/** The last closing of a day; a sheet may be closed again after a correction. */
export async function daySheetOn(db: Database, on: string): Promise<DaySheet | null> {
  const row = await db
    .selectFrom('daySheet')
    .innerJoin('entry', 'entry.id', 'daySheet.entryId')
    .innerJoin('person', 'person.entryId', 'entry.writtenBy')
    .select(['found', 'person.name as byName', 'entry.writtenAt as at'])
    .where('onDate', '=', on)
    .where(standing('daySheet'))
    .orderBy(asWritten, 'desc')
    .executeTakeFirst()
  return row ? { at: row.at, byName: row.byName, found: JSON.parse(row.found) as DaySheet['found'] } : null
}

/** By a fault of the whole pump, or since some hour of the day without having run again. */
export async function pumpsStoppedOn(db: Database, on: string): Promise<Set<Id<'pump'>>> {
  const byFault = (await stoppedByFaults(db)).filter((one) => one.fault.outletId === null && standsOn(one, on))
  const byDay = (await dayChangesOn(db, on)).filter(({ kind, untilMinute }) => kind === 'down' && untilMinute === null)
  return new Set([...byFault.map(({ fault }) => fault.pumpId), ...byDay.map(({ pumpId }) => pumpId)])
}
