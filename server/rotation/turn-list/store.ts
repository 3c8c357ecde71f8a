import { addDays, type CalendarDate } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
import type { ListPause, PauseCause } from '../../../domain/rotation/turn-list.ts'
import { appendEntry, type Pen } from '../../book/entries.ts'
import { readTogether } from '../../book/register/together.ts'
import { asWritten, inForce, standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'
import { stoppedByFaults } from '../../works/fault/store.ts'

export interface TurnList {
  id: string
  fromOn: CalendarDate
  perDay: number
  plotIds: Id<'plot'>[]
}

const listRows = readTogether('turns', (db) =>
  db
    .selectFrom('turnList')
    .innerJoin('entry', 'entry.id', 'turnList.entryId')
    .select(['entryId', 'pumpId', 'fromOn', 'perDay', 'entry.seq'])
    .where(standing('turnList')),
)

/** The list by which a pump's turns go on a day; undefined where they go by the week's plan alone. */
export async function turnListOn(db: Database, pumpId: Id<'pump'>, on: string): Promise<TurnList | undefined> {
  const rows = (await listRows(db)).filter((row) => row.pumpId === pumpId)
  const row = inForce(rows, on)
  if (!row) return undefined
  const places = await db
    .selectFrom('turnListPlace')
    .select('plotId')
    .where('entryId', '=', row.entryId)
    .orderBy('place')
    .execute()
  return { id: row.entryId, fromOn: row.fromOn, perDay: row.perDay, plotIds: places.map((place) => place.plotId) }
}

export async function addTurnList(
  pen: Pen,
  list: { pumpId: Id<'pump'>; fromOn: CalendarDate; perDay: number; plotIds: readonly string[] },
): Promise<string> {
  const head = { pumpId: list.pumpId, fromOn: list.fromOn, perDay: list.perDay }
  const places = list.plotIds.map((plotId, at) => ({ place: at + 1, plotId }))
  return appendEntry(pen, { kind: 'turn-list' }, { turnList: [head], turnListPlace: places })
}

/** Who was served from a pump's list since it began, first to last. */
export async function servedSince(db: Database, pumpId: Id<'pump'>, fromOn: CalendarDate) {
  return db
    .selectFrom('turnListServed')
    .innerJoin('entry', 'entry.id', 'turnListServed.entryId')
    .select(['plotId as name', 'onDate as on'])
    .where('pumpId', '=', pumpId)
    .where('onDate', '>=', fromOn)
    .where(standing('turnListServed'))
    .orderBy('onDate')
    .orderBy(asWritten)
    .execute()
}

export async function addServed(
  pen: Pen,
  { pumpId, plotId, on }: { pumpId: Id<'pump'>; plotId: Id<'plot'>; on: string },
) {
  return appendEntry(pen, { kind: 'turn-list-served' }, { turnListServed: [{ pumpId, plotId, onDate: on }] })
}

const pauseRows = readTogether('turns', (db) =>
  db
    .selectFrom('turnListPause')
    .select(['pumpId', 'fromOn', 'untilOn', 'cause', 'words'])
    .where(standing('turnListPause'))
    .orderBy('fromOn'),
)

/** The pauses that were written of any list. */
export async function pausesWritten(db: Database): Promise<(ListPause & { pumpId: Id<'pump'> })[]> {
  const rows = await pauseRows(db)
  return rows.map((row) => ({ ...row, cause: row.cause as PauseCause }))
}

/** Pauses of a pump's list, with the days without turns that the committee has named and those of a fault. */
export async function pausesOf(db: Database, pumpId: Id<'pump'>): Promise<ListPause[]> {
  const named = (await pausesWritten(db)).filter((pause) => pause.pumpId === pumpId)
  const days = await db
    .selectFrom('noTurnDay')
    .select(['onDate', 'words'])
    .where((eb) => eb.or([eb('pumpId', '=', pumpId), eb('pumpId', 'is', null)]))
    .where(standing('noTurnDay'))
    .execute()
  const rest = days.map(({ onDate, words }): ListPause => ({ fromOn: onDate, untilOn: onDate, cause: 'rest', words }))
  return [...named, ...rest, ...(await faultPauses(db, pumpId))]
}

/** Days on which a fault stops the whole pump pause its list too. */
async function faultPauses(db: Database, pumpId: Id<'pump'>): Promise<ListPause[]> {
  const stopped = (await stoppedByFaults(db)).filter(({ fault }) => fault.pumpId === pumpId && fault.outletId === null)
  return stopped.map(({ fromOn, untilOn, fault }) => ({
    fromOn,
    untilOn: untilOn && addDays(untilOn, -1),
    cause: 'pump',
    words: fault.what,
  }))
}

/** A pause whose end comes later is written again with the same first day; the last one counts through `correctsId`. */
export async function addPause(pen: Pen, pumpId: Id<'pump'>, pause: ListPause, ends: string | null): Promise<string> {
  const { fromOn, untilOn, cause, words } = pause
  const row = { pumpId, fromOn, untilOn, cause, words }
  const head = ends ? { correctsId: ends, reason: words ?? cause } : {}
  return appendEntry(pen, { kind: 'turn-list-pause', ...head }, { turnListPause: [row] })
}

/** The pause of a pump's list that has no end yet. */
export async function openPause(db: Database, pumpId: Id<'pump'>) {
  return db
    .selectFrom('turnListPause')
    .select(['entryId as id', 'fromOn', 'cause', 'words'])
    .where('pumpId', '=', pumpId)
    .where('untilOn', 'is', null)
    .where(standing('turnListPause'))
    .executeTakeFirst()
}
