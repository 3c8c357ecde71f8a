import { sql } from 'kysely'
import type { PlannedTurn } from '../../../domain/rotation/timetable/types.ts'
import type { NewManualChange } from '../../../domain/rotation/week/manual-change.ts'
import { approvals } from '../../book/approvals.ts'
import { appendEntry, freshId, type Pen } from '../../book/entries.ts'
import { standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'
import { turnRow } from './turn-row.ts'

/** A dated change to a week that has been published; the week itself stays as it was agreed. */
export interface Amendment extends NewManualChange {
  id: string
  weekStartOn: string
  /** The turn that it takes off the list; null for a turn that is added. */
  turnId: string | null
  byId: string
  byName: string
  at: string
  approvedByName: string | null
  /** A day shared anew or the next on the list moved up, by the rule; that is nobody's own hand and needs no second name. */
  byRule: boolean
  /** The turn whose freed hours it took; null unless it moved up. */
  movedUpInto: string | null
}

export async function amendmentsOf(db: Database, weekStartOn: string): Promise<Amendment[]> {
  const rows = await db
    .selectFrom('turn_change')
    .innerJoin('entry', 'entry.id', 'turn_change.entry_id')
    .innerJoin('person', 'person.entry_id', 'entry.written_by')
    .selectAll('turn_change')
    .leftJoin('reshared_turn', 'reshared_turn.entry_id', 'turn_change.entry_id')
    .leftJoin('moved_up_turn', 'moved_up_turn.entry_id', 'turn_change.entry_id')
    .select('moved_up_turn.freed_turn_id')
    .select(['person.name', 'entry.written_by', 'entry.written_at', 'entry.reason', 'reshared_turn.day_change_id'])
    .where('week_start_on', '=', weekStartOn)
    .where('stage', '=', 'published')
    .where(standing('turn_change'))
    .orderBy('entry.seq')
    .execute()
  if (rows.length === 0) return []
  const names = await approvals(db)
  return rows.map((row) => ({
    id: row.entry_id,
    weekStartOn: row.week_start_on,
    kind: row.kind as Amendment['kind'],
    turnId: row.turn_id,
    plotId: row.plot_id,
    outletId: row.outlet_id,
    wasOn: row.was_on,
    on: row.on_date,
    startMinute: row.start_minute,
    volumeM3: row.volume_m3,
    reason: row.reason ?? '',
    byId: row.written_by,
    byName: row.name,
    at: row.written_at,
    approvedByName: names.get(row.entry_id)?.approverName ?? null,
    byRule: row.day_change_id !== null || row.freed_turn_id !== null,
    movedUpInto: row.freed_turn_id,
  }))
}

/** The turns that amendments brought in, by the amendment. */
export async function amendedTurns(db: Database, amendmentIds: readonly string[]) {
  if (amendmentIds.length === 0) return []
  return db
    .selectFrom('turn')
    .selectAll()
    .where('entry_id', 'in', amendmentIds as string[])
    .where(standing('turn'))
    .execute()
}

/** Writes the change and, but for a turn that is dropped, the turn that now holds, under an id of its own. */
export async function addAmendment(
  pen: Pen,
  {
    weekStartOn,
    turnId,
    change,
    turn,
  }: { weekStartOn: string; turnId: string | null; change: NewManualChange; turn: PlannedTurn | null },
): Promise<string> {
  const count = await pen.trx
    .selectFrom('turn_change')
    .select(({ fn }) => fn.countAll<number>().as('count'))
    .where('week_start_on', '=', weekStartOn)
    .where('stage', '=', 'published')
    .executeTakeFirstOrThrow()
  const row = {
    week_start_on: weekStartOn,
    stage: 'published',
    kind: change.kind,
    turn_id: turnId,
    plot_id: change.plotId,
    outlet_id: change.outletId,
    was_on: change.wasOn,
    on_date: change.on,
    start_minute: change.startMinute,
    volume_m3: change.volumeM3,
  }
  const turns = turn ? [turnRow(amendedTurnId(pen, weekStartOn, count.count + 1), turn)] : []
  return appendEntry(pen, { kind: 'turn-amendment', reason: change.reason }, { turn_change: [row], turn: turns })
}

/** Named by its week and its place among the amendments, and so that two devices of the group never give one name twice. */
export function amendedTurnId(pen: Pen, weekStartOn: string, count: number): string {
  return `${weekStartOn}-a${count}-${freshId(pen).slice(0, 6)}`
}

/** A turn still stands on the list when no amendment took it off. Use as `.where(onTheList)` on the table `turn`. */
export const onTheList = sql<boolean>`
  not exists (select 1 from turn_change where turn_change.turn_id = turn.id and ${standing('turn_change')})`

/** The id of the next turn that an amendment of a week brings in. */
export async function nextTurnId(pen: Pen, weekStartOn: string): Promise<string> {
  const { count } = await pen.trx
    .selectFrom('turn_change')
    .select(({ fn }) => fn.countAll<number>().as('count'))
    .where('week_start_on', '=', weekStartOn)
    .where('stage', '=', 'published')
    .executeTakeFirstOrThrow()
  return amendedTurnId(pen, weekStartOn, Number(count) + 1)
}
