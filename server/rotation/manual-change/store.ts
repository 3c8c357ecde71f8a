import type { ManualChange, ManualKind, NewManualChange } from '../../../domain/rotation/week/manual-change.ts'
import { approvals } from '../../book/approvals.ts'
import { appendEntry, type Pen } from '../../book/entries.ts'
import { standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'

/** What the committee changed by hand on the draft of a week, in the order of writing. */
export async function manualChanges(db: Database, weekStartOn: string): Promise<ManualChange[]> {
  const rows = await db
    .selectFrom('turn_change')
    .innerJoin('entry', 'entry.id', 'turn_change.entry_id')
    .innerJoin('person', 'person.entry_id', 'entry.written_by')
    .selectAll('turn_change')
    .select(['person.name', 'entry.written_by', 'entry.written_at', 'entry.reason'])
    .where('week_start_on', '=', weekStartOn)
    .where('stage', '=', 'draft')
    .where(standing('turn_change'))
    .orderBy('entry.seq')
    .execute()
  const names = await approvals(db)
  return rows.map((row) => ({
    id: row.entry_id,
    kind: row.kind as ManualKind,
    plotId: row.plot_id,
    outletId: row.outlet_id,
    wasOn: row.was_on,
    on: row.on_date,
    startMinute: row.start_minute,
    volumeM3: row.volume_m3,
    byName: row.name,
    byId: row.written_by,
    at: row.written_at,
    reason: row.reason ?? '',
    approvedByName: names.get(row.entry_id)?.approverName ?? null,
  }))
}

export async function addManualChange(pen: Pen, weekStartOn: string, change: NewManualChange): Promise<string> {
  const { kind, plotId, outletId, wasOn, on, startMinute, volumeM3, reason } = change
  const row = {
    week_start_on: weekStartOn,
    stage: 'draft',
    kind,
    turn_id: null,
    plot_id: plotId,
    outlet_id: outletId,
    was_on: wasOn,
    on_date: on,
    start_minute: startMinute,
    volume_m3: volumeM3,
  }
  return appendEntry(pen, { kind: 'turn-change', reason }, { turn_change: [row] })
}

/** Takes a change back; it stays in the book with the reason. */
export async function strikeManualChange(pen: Pen, id: string, reason: string): Promise<string> {
  return appendEntry(pen, { kind: 'turn-change', correctsId: id, reason }, {})
}

/** One standing change, of a draft or after publication. */
export async function findChange(db: Database, id: string) {
  const row = await db
    .selectFrom('turn_change')
    .innerJoin('entry', 'entry.id', 'turn_change.entry_id')
    .leftJoin('published_week', 'published_week.week_start_on', 'turn_change.week_start_on')
    .select(['turn_change.entry_id', 'turn_change.week_start_on', 'entry.written_by'])
    .select('published_week.entry_id as publishedId')
    .where('turn_change.entry_id', '=', id)
    .where(standing('turn_change'))
    .executeTakeFirst()
  if (!row) return undefined
  const approvedByName = (await approvals(db)).get(id)?.approverName ?? null
  return {
    id,
    weekStartOn: row.week_start_on,
    byId: row.written_by,
    approvedByName,
    isFrozen: row.publishedId !== null,
  }
}
