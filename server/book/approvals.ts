import { InputError } from '../../domain/input-error.ts'
import type { Database } from '../database/connection.ts'
import { appendEntry, type Pen } from './entries.ts'
import { standing } from './standing.ts'

export interface Approval {
  id: string
  approverId: string
  approverName: string
  approvedAt: string
}

/**
 * Puts a second name under an entry: a tariff, a relief, a payout, a level-volume table. Throws InputError
 * `approval-by-the-writer` when the name is the writer's own.
 */
export async function approve(pen: Pen, subjectId: string): Promise<string> {
  const subject = await pen.trx
    .selectFrom('entry')
    .select('written_by')
    .where('id', '=', subjectId)
    .executeTakeFirstOrThrow()
  if (subject.written_by === pen.writtenBy) throw new InputError('approval-by-the-writer')
  return appendEntry(pen, { kind: 'approval' }, { approval: [{ subject_id: subjectId }] })
}

/** The first second name under each entry. */
export async function approvals(db: Database): Promise<Map<string, Approval>> {
  const rows = await db
    .selectFrom('approval')
    .innerJoin('entry', 'entry.id', 'approval.entry_id')
    .innerJoin('person', 'person.entry_id', 'entry.written_by')
    .select(['approval.subject_id', 'entry.id', 'entry.written_by', 'entry.written_at', 'person.name'])
    .where(standing('approval'))
    .orderBy('entry.seq', 'desc')
    .execute()
  return new Map(
    rows.map((row) => [
      row.subject_id,
      { id: row.id, approverId: row.written_by, approverName: row.name, approvedAt: row.written_at },
    ]),
  )
}
