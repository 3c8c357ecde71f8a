import type { CalendarDate } from '../../../domain/calendar.ts'
import type { Inspected, PartState, WeirPart } from '../../../domain/water/inspection.ts'
import { appendEntry, type Pen } from '../../book/entries.ts'
import { standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'

interface NewInspection extends Omit<Inspected, 'seq'> {
  found: string
  toDo: string | null
  inspectorId: string | null
}

export interface Inspection extends NewInspection {
  id: string
  seq: number
  weirNumber: number
  weirName: string
  inspectorName: string | null
  writerName: string
  writtenAt: string
}

export async function addInspection(pen: Pen, inspection: NewInspection): Promise<string> {
  const row = {
    weir_id: inspection.weirId,
    on_date: inspection.seenOn,
    part: inspection.part,
    state: inspection.state,
    found: inspection.found,
    to_do: inspection.toDo,
    next_on: inspection.nextOn,
    inspector_id: inspection.inspectorId,
  }
  return appendEntry(pen, { kind: 'inspection' }, { inspection: [row] })
}

/** Takes a line out of what counts; it stays in the book with the reason. */
export async function strikeInspection(pen: Pen, { id, reason }: { id: string; reason: string }): Promise<string> {
  return appendEntry(pen, { kind: 'inspection', correctsId: id, reason }, {})
}

/** The lines of the inspection book that stand, newest first. */
export async function listInspections(db: Database): Promise<Inspection[]> {
  const rows = await db
    .selectFrom('inspection')
    .innerJoin('entry', 'entry.id', 'inspection.entry_id')
    .innerJoin('weir', 'weir.entry_id', 'inspection.weir_id')
    .innerJoin('person as writer', 'writer.entry_id', 'entry.written_by')
    .leftJoin('person as inspector', 'inspector.entry_id', 'inspection.inspector_id')
    .selectAll('inspection')
    .select(['entry.seq', 'entry.written_at', 'weir.number', 'weir.name'])
    .select(['writer.name as writer_name', 'inspector.name as inspector_name'])
    .where(standing('inspection'))
    .orderBy('on_date', 'desc')
    .orderBy('entry.seq', 'desc')
    .execute()
  return rows.map((row) => ({
    id: row.entry_id,
    seq: row.seq,
    weirId: row.weir_id,
    weirNumber: row.number,
    weirName: row.name,
    seenOn: row.on_date as CalendarDate,
    part: row.part as WeirPart,
    state: row.state as PartState,
    found: row.found,
    toDo: row.to_do,
    nextOn: row.next_on,
    inspectorId: row.inspector_id,
    inspectorName: row.inspector_name,
    writerName: row.writer_name,
    writtenAt: row.written_at,
  }))
}
