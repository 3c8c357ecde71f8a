import { sql } from 'kysely'
import type { CalendarDate } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
import type { PlannedTurn } from '../../../domain/rotation/timetable/types.ts'
import type { NewManualChange } from '../../../domain/rotation/week/manual-change.ts'
import { setAside } from '../../book/after-joining.ts'
import { appendEntry, type EntryHead, type Facts, freshId, type Pen } from '../../book/entries.ts'
import { waitsForName } from '../../book/name-needed.ts'
import { approvals } from '../../book/names/approvals.ts'
import { asWritten, standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'
import { turnRow } from './turn-row.ts'

/** A dated change to a week that has been published; the week itself stays as it was agreed. */
export interface Amendment extends NewManualChange {
  id: string
  weekStartOn: CalendarDate
  /** The turn that it takes off the list; null for a turn that is added. */
  turnId: Id<'turn'> | null
  byId: string
  byName: string
  at: string
  approvedByName: string | null
  /** A day shared anew or the next on the list moved up, by the rule; that is nobody's own hand and needs no second name. */
  byRule: boolean
  /** The turn whose freed hours it took; null unless it moved up. */
  movedUpInto: string | null
}

export async function amendmentsOf(db: Database, ...weekStarts: CalendarDate[]): Promise<Amendment[]> {
  return weekStarts.length > 0 ? amendmentsOfRows(db, await amendmentRows(db, weekStarts).execute()) : []
}

/** Those by hand that wait for their second name; until then the week stands as it was. */
export async function waitingAmendments(db: Database, weekStartOn: CalendarDate): Promise<Amendment[]> {
  return amendmentsOfRows(db, await amendmentRows(db, [weekStartOn], waitsForName('turnChange')).execute())
}

/** What stands of the changes to some published weeks, or what else counts of them. */
export function amendmentRows(db: Database, weekStarts: readonly CalendarDate[], counts = standing('turnChange')) {
  return db
    .selectFrom('turnChange')
    .innerJoin('entry', 'entry.id', 'turnChange.entryId')
    .innerJoin('person', 'person.entryId', 'entry.writtenBy')
    .selectAll('turnChange')
    .leftJoin('resharedTurn', 'resharedTurn.entryId', 'turnChange.entryId')
    .leftJoin('movedUpTurn', 'movedUpTurn.entryId', 'turnChange.entryId')
    .select('movedUpTurn.freedTurnId')
    .select(['person.name', 'entry.writtenBy', 'entry.writtenAt', 'entry.reason', 'resharedTurn.dayChangeId'])
    .where('weekStartOn', 'in', weekStarts)
    .where('stage', '=', 'published')
    .where(counts)
    .where(ofTheWeekInForce)
    .orderBy(asWritten)
}

type AmendmentRow = Awaited<ReturnType<ReturnType<typeof amendmentRows>['execute']>>[number]

export async function amendmentsOfRows(db: Database, rows: readonly AmendmentRow[]): Promise<Amendment[]> {
  if (rows.length === 0) return []
  const names = await approvals(db)
  return rows.map((row) => ({
    id: row.entryId,
    weekStartOn: row.weekStartOn,
    kind: row.kind as Amendment['kind'],
    turnId: row.turnId,
    plotId: row.plotId,
    outletId: row.outletId,
    wasOn: row.wasOn,
    on: row.onDate,
    startMinute: row.startMinute,
    volumeM3: row.volumeM3,
    reason: row.reason ?? '',
    byId: row.writtenBy,
    byName: row.name,
    at: row.writtenAt,
    approvedByName: names.get(row.entryId)?.approverName ?? null,
    byRule: row.dayChangeId !== null || row.freedTurnId !== null,
    movedUpInto: row.freedTurnId,
  }))
}

/** A change to a turn of a publication that was set aside changes nothing. */
const ofTheWeekInForce = sql<boolean>`
  not exists (select 1 from turn where turn.id = turn_change.turn_id and turn.entry_id in ${setAside})`

/** The turns that amendments brought in, by the amendment. */
export async function amendedTurns(db: Database, amendmentIds: readonly string[]) {
  if (amendmentIds.length === 0) return []
  return db
    .selectFrom('turn')
    .selectAll()
    .where('entryId', 'in', amendmentIds as string[])
    .where(standing('turn'))
    .execute()
}

interface NewAmendment {
  weekStartOn: CalendarDate
  turnId: Id<'turn'> | null
  change: NewManualChange
  turn: PlannedTurn | null
}

/** What is written with an amendment: who it is for, and the facts that hang on it or name the turn that it brings in. */
interface Beside {
  head?: Partial<EntryHead>
  facts?: (newTurnId: string | null) => Facts
}

/** Writes the change and, but for a turn that is dropped, the turn that now holds, under an id of its own. */
export async function addAmendment(
  pen: Pen,
  { weekStartOn, turnId, change, turn }: NewAmendment,
  { head, facts }: Beside = {},
): Promise<string> {
  const row = {
    weekStartOn,
    stage: 'published',
    kind: change.kind,
    turnId,
    plotId: change.plotId,
    outletId: change.outletId,
    wasOn: change.wasOn,
    onDate: change.on,
    startMinute: change.startMinute,
    volumeM3: change.volumeM3,
  }
  const newTurnId = turn && (await nextTurnId(pen, weekStartOn))
  return appendEntry(
    pen,
    { kind: 'turn-amendment', reason: change.reason, ...head },
    { turnChange: [row], turn: turn ? [turnRow(newTurnId!, turn)] : [], ...facts?.(newTurnId) },
  )
}

/** Named by its week and its place among the amendments, and so that two devices of the group never give one name twice. */
async function nextTurnId(pen: Pen, weekStartOn: CalendarDate): Promise<string> {
  const { count } = await pen.trx
    .selectFrom('turnChange')
    .select(({ fn }) => fn.countAll<number>().as('count'))
    .where('weekStartOn', '=', weekStartOn)
    .where('stage', '=', 'published')
    .executeTakeFirstOrThrow()
  return `${weekStartOn}-a${Number(count) + 1}-${freshId(pen).slice(0, 6)}`
}

/**
 * A turn still stands on the list when no amendment took it off and its publication counts. Use as `.where(onTheList)` on the
 * table `turn`.
 */
export const onTheList = sql<boolean>`
  not exists (select 1 from turn_change where turn_change.turn_id = turn.id and ${standing('turnChange')})
  and ${standing('turn')}`
