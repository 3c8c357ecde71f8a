import type { CalendarDate } from '../../../domain/calendar.ts'
import type { ManualChange, ManualKind, NewManualChange } from '../../../domain/rotation/week/manual-change.ts'
import { appendEntry, type Facts, type Pen } from '../../book/entries.ts'
import { waitsForName } from '../../book/name-needed.ts'
import { approvals } from '../../book/names/approvals.ts'
import { asWritten, standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'
import { findPublishedWeek } from '../published/store.ts'

/** What the committee changed by hand on the draft of a week, in the order of writing. */
export async function manualChanges(db: Database, weekStartOn: CalendarDate): Promise<ManualChange[]> {
  const rows = await db
    .selectFrom('turnChange')
    .innerJoin('entry', 'entry.id', 'turnChange.entryId')
    .innerJoin('person', 'person.entryId', 'entry.writtenBy')
    .selectAll('turnChange')
    .select(['person.name', 'entry.writtenBy', 'entry.writtenAt', 'entry.reason'])
    .where('weekStartOn', '=', weekStartOn)
    .where('stage', '=', 'draft')
    .where(standing('turnChange'))
    .orderBy(asWritten)
    .execute()
  const names = await approvals(db)
  return rows.map((row) => ({
    id: row.entryId,
    kind: row.kind as ManualKind,
    plotId: row.plotId,
    outletId: row.outletId,
    wasOn: row.wasOn,
    on: row.onDate,
    startMinute: row.startMinute,
    volumeM3: row.volumeM3,
    byName: row.name,
    byId: row.writtenBy,
    at: row.writtenAt,
    reason: row.reason ?? '',
    approvedByName: names.get(row.entryId)?.approverName ?? null,
  }))
}

export async function addManualChange(
  pen: Pen,
  weekStartOn: CalendarDate,
  change: NewManualChange,
  typed: Pick<Facts, 'typedVolume'> = {},
): Promise<string> {
  const { kind, plotId, outletId, wasOn, on, startMinute, volumeM3, reason } = change
  const row = {
    weekStartOn,
    stage: 'draft',
    kind,
    turnId: null,
    plotId,
    outletId,
    wasOn,
    onDate: on,
    startMinute,
    volumeM3,
  }
  return appendEntry(pen, { kind: 'turn-change', reason }, { ...typed, turnChange: [row] })
}

/** Takes a change back; it stays in the book with the reason. */
export async function strikeManualChange(pen: Pen, id: string, reason: string): Promise<string> {
  return appendEntry(pen, { kind: 'turn-change', correctsId: id, reason }, {})
}

/** One change that stands or waits for its second name, of a draft or after publication. */
export async function findChange(db: Database, id: string) {
  const row = await db
    .selectFrom('turnChange')
    .innerJoin('entry', 'entry.id', 'turnChange.entryId')
    .select(['turnChange.entryId', 'turnChange.weekStartOn', 'entry.writtenBy'])
    .where('turnChange.entryId', '=', id)
    .where(({ or }) => or([standing('turnChange'), waitsForName('turnChange')]))
    .executeTakeFirst()
  if (!row) return undefined
  const approvedByName = (await approvals(db)).get(id)?.approverName ?? null
  return {
    id,
    weekStartOn: row.weekStartOn,
    byId: row.writtenBy,
    approvedByName,
    isFrozen: (await findPublishedWeek(db, row.weekStartOn)) !== undefined,
  }
}
