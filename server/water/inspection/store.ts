import type { CalendarDate, Instant } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
import type { Inspected, PartState, WeirPart } from '../../../domain/water/inspection.ts'
import { appendEntry, type Pen } from '../../book/entries.ts'
import { readTogether } from '../../book/register/together.ts'
import { asWritten, standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'

interface NewInspection extends Omit<Inspected, 'seq'> {
  found: string
  toDo: string | null
  inspectorId: Id<'person'> | null
}

export interface Inspection extends NewInspection {
  id: string
  seq: number
  weirNumber: number
  weirName: string
  inspectorName: string | null
  writerName: string
  writtenAt: Instant
}

export async function addInspection(pen: Pen, inspection: NewInspection): Promise<string> {
  const row = {
    weirId: inspection.weirId,
    onDate: inspection.seenOn,
    part: inspection.part,
    state: inspection.state,
    found: inspection.found,
    toDo: inspection.toDo,
    nextOn: inspection.nextOn,
    inspectorId: inspection.inspectorId,
  }
  return appendEntry(pen, { kind: 'inspection' }, { inspection: [row] })
}

/** Takes a line out of what counts; it stays in the book with the reason. */
export async function strikeInspection(pen: Pen, { id, reason }: { id: string; reason: string }): Promise<string> {
  return appendEntry(pen, { kind: 'inspection', correctsId: id, reason }, {})
}

const inspectionRows = readTogether('water', (db) =>
  db
    .selectFrom('inspection')
    .innerJoin('entry', 'entry.id', 'inspection.entryId')
    .innerJoin('weir', 'weir.entryId', 'inspection.weirId')
    .innerJoin('person as writer', 'writer.entryId', 'entry.writtenBy')
    .leftJoin('person as inspector', 'inspector.entryId', 'inspection.inspectorId')
    .selectAll('inspection')
    .select(['entry.seq', 'entry.writtenAt', 'weir.number', 'weir.name'])
    .select(['writer.name as writerName', 'inspector.name as inspectorName'])
    .where(standing('inspection'))
    .orderBy('onDate', 'desc')
    .orderBy(asWritten, 'desc'),
)

/** The lines of the inspection book that stand, newest first. */
export async function listInspections(db: Database): Promise<Inspection[]> {
  const rows = await inspectionRows(db)
  return rows.map((row) => ({
    id: row.entryId,
    seq: row.seq,
    weirId: row.weirId,
    weirNumber: row.number,
    weirName: row.name,
    seenOn: row.onDate as CalendarDate,
    part: row.part as WeirPart,
    state: row.state as PartState,
    found: row.found,
    toDo: row.toDo,
    nextOn: row.nextOn,
    inspectorId: row.inspectorId,
    inspectorName: row.inspectorName,
    writerName: row.writerName,
    writtenAt: row.writtenAt,
  }))
}
