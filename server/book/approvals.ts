import type { Instant } from '../../domain/calendar.ts'
import { InputError } from '../../domain/input-error.ts'
import type { Database } from '../database/connection.ts'
import { appendEntry, type Pen } from './entries.ts'
import { standing } from './standing.ts'

export interface Approval {
  id: string
  approverId: string
  approverName: string
  approvedAt: Instant
}

/**
 * Puts a second name under an entry: a tariff, a relief, a payout, a level-volume table. Throws InputError
 * `approval-by-the-writer` when the name is the writer's own, `approval-twice` when somebody else was quicker or, of something
 * that takes `more` names than one, when this one stands there already.
 */
export async function approve(pen: Pen, subjectId: string, { more = false } = {}): Promise<string> {
  const subject = await pen.trx
    .selectFrom('entry')
    .select('writtenBy')
    .where('id', '=', subjectId)
    .executeTakeFirstOrThrow()
  if (subject.writtenBy === pen.writtenBy) throw new InputError('approval-by-the-writer')
  const names = await pen.trx
    .selectFrom('approval')
    .innerJoin('entry', 'entry.id', 'approval.entryId')
    .select('entry.writtenBy')
    .where('subjectId', '=', subjectId)
    .where(standing('approval'))
    .execute()
  if (names.some(({ writtenBy }) => !more || writtenBy === pen.writtenBy)) throw new InputError('approval-twice')
  return appendEntry(pen, { kind: 'approval' }, { approval: [{ subjectId }] })
}

/** The first second name under each entry. */
export async function approvals(db: Database): Promise<Map<string, Approval>> {
  const rows = await db
    .selectFrom('approval')
    .innerJoin('entry', 'entry.id', 'approval.entryId')
    .innerJoin('person', 'person.entryId', 'entry.writtenBy')
    .select(['approval.subjectId', 'entry.id', 'entry.writtenBy', 'entry.writtenAt', 'person.name'])
    .where(standing('approval'))
    .orderBy('entry.seq', 'desc')
    .execute()
  return new Map(
    rows.map((row) => [
      row.subjectId,
      { id: row.id, approverId: row.writtenBy, approverName: row.name, approvedAt: row.writtenAt },
    ]),
  )
}
