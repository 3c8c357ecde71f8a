import { addDays } from '../../../domain/calendar.ts'
import type { ListPause, PauseCause } from '../../../domain/rotation/turn-list.ts'
import { appendEntry, type Pen } from '../../book/entries.ts'
import { inForce, standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'
import { stoppedByFaults } from '../../works/fault/store.ts'

export interface TurnList {
  id: string
  fromOn: string
  perDay: number
  plotIds: string[]
}

/** The list by which a pump's turns go on a day; undefined where they go by the week's plan alone. */
export async function turnListOn(db: Database, pumpId: string, on: string): Promise<TurnList | undefined> {
  const rows = await db
    .selectFrom('turn_list')
    .innerJoin('entry', 'entry.id', 'turn_list.entry_id')
    .select(['entry_id', 'from_on', 'per_day', 'entry.seq'])
    .where('pump_id', '=', pumpId)
    .where(standing('turn_list'))
    .execute()
  const row = inForce(rows, on)
  if (!row) return undefined
  const places = await db
    .selectFrom('turn_list_place')
    .select('plot_id')
    .where('entry_id', '=', row.entry_id)
    .orderBy('place')
    .execute()
  return { id: row.entry_id, fromOn: row.from_on, perDay: row.per_day, plotIds: places.map((place) => place.plot_id) }
}

export async function addTurnList(
  pen: Pen,
  list: { pumpId: string; fromOn: string; perDay: number; plotIds: readonly string[] },
): Promise<string> {
  const head = { pump_id: list.pumpId, from_on: list.fromOn, per_day: list.perDay }
  const places = list.plotIds.map((plot_id, at) => ({ place: at + 1, plot_id }))
  return appendEntry(pen, { kind: 'turn-list' }, { turn_list: [head], turn_list_place: places })
}

/** Who was served from a pump's list since it began, first to last. */
export async function servedSince(db: Database, pumpId: string, fromOn: string) {
  return db
    .selectFrom('turn_list_served')
    .innerJoin('entry', 'entry.id', 'turn_list_served.entry_id')
    .select(['plot_id as name', 'on_date as on'])
    .where('pump_id', '=', pumpId)
    .where('on_date', '>=', fromOn)
    .where(standing('turn_list_served'))
    .orderBy('on_date')
    .orderBy('entry.seq')
    .execute()
}

export async function addServed(pen: Pen, { pumpId, plotId, on }: { pumpId: string; plotId: string; on: string }) {
  return appendEntry(
    pen,
    { kind: 'turn-list-served' },
    { turn_list_served: [{ pump_id: pumpId, plot_id: plotId, on_date: on }] },
  )
}

/** The pauses that were written of any list. */
export async function pausesWritten(db: Database): Promise<(ListPause & { pumpId: string })[]> {
  const rows = await db
    .selectFrom('turn_list_pause')
    .select(['pump_id as pumpId', 'from_on as fromOn', 'until_on as untilOn', 'cause', 'words'])
    .where(standing('turn_list_pause'))
    .orderBy('from_on')
    .execute()
  return rows.map((row) => ({ ...row, cause: row.cause as PauseCause }))
}

/** Pauses of a pump's list, with the days without turns that the committee has named and those of a fault. */
export async function pausesOf(db: Database, pumpId: string): Promise<ListPause[]> {
  const named = (await pausesWritten(db)).filter((pause) => pause.pumpId === pumpId)
  const days = await db
    .selectFrom('no_turn_day')
    .select(['on_date', 'words'])
    .where((eb) => eb.or([eb('pump_id', '=', pumpId), eb('pump_id', 'is', null)]))
    .where(standing('no_turn_day'))
    .execute()
  const rest = days.map(
    ({ on_date, words }): ListPause => ({ fromOn: on_date, untilOn: on_date, cause: 'rest', words }),
  )
  return [...named, ...rest, ...(await faultPauses(db, pumpId))]
}

/** Days on which a fault stops the whole pump pause its list too. */
async function faultPauses(db: Database, pumpId: string): Promise<ListPause[]> {
  const stopped = (await stoppedByFaults(db)).filter(({ fault }) => fault.pumpId === pumpId && fault.outletId === null)
  return stopped.map(({ fromOn, untilOn, fault }) => ({
    fromOn,
    untilOn: untilOn && addDays(untilOn, -1),
    cause: 'pump',
    words: fault.what,
  }))
}

/** A pause whose end comes later is written again with the same first day; the last one counts through `correctsId`. */
export async function addPause(pen: Pen, pumpId: string, pause: ListPause, ends: string | null): Promise<string> {
  const { fromOn, untilOn, cause, words } = pause
  const row = { pump_id: pumpId, from_on: fromOn, until_on: untilOn, cause, words }
  const head = ends ? { correctsId: ends, reason: words ?? cause } : {}
  return appendEntry(pen, { kind: 'turn-list-pause', ...head }, { turn_list_pause: [row] })
}

/** The pause of a pump's list that has no end yet. */
export async function openPause(db: Database, pumpId: string) {
  return db
    .selectFrom('turn_list_pause')
    .select(['entry_id as id', 'from_on as fromOn', 'cause', 'words'])
    .where('pump_id', '=', pumpId)
    .where('until_on', 'is', null)
    .where(standing('turn_list_pause'))
    .executeTakeFirst()
}
