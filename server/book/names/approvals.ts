import { group } from 'd3-array'
import type { Instant } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
import { InputError } from '../../../domain/input-error.ts'
import type { Database } from '../../database/connection.ts'
import { appendEntry, type Pen } from '../entries.ts'
import { kept } from '../kept-answers.ts'
import { joinersOf } from '../merge/joiners-store.ts'
import { readTogether } from '../register/together.ts'
import { asWritten, standing } from '../standing.ts'
import { actOf, namesNeeded } from './acts.ts'
import { notCounting } from './counting.ts'
import { withheldOf } from './withheld-store.ts'

export interface Approval {
  id: string
  approverId: string
  approverName: string
  approvedAt: Instant
}

/**
 * Puts a name under an entry: a tariff, a relief, a payout, a level-volume table, by the one rule of all acts with two names
 * (`TWO_NAME_ACTS`). Throws InputError `approval-by-the-writer`, `approval-by-one-concerned` for whoever gains by it,
 * `approval-not-asked` where one person is asked and it is another, `approval-twice` when it has its names,
 * `approval-too-new` for whoever was written in, or got an office, less than seven days ago and by no minute, `approval-left` for
 * whoever has left, `approval-own-already` when this one stands there and another is missing, `approval-withheld` when it was declined or withdrawn.
 */
export async function approve(pen: Pen, subjectId: string): Promise<string> {
  const why = await hindranceTo(pen.trx, subjectId, { personId: pen.writtenBy, at: pen.writtenAt })
  if (why) throw new InputError(why)
  const id = await appendEntry(pen, { kind: 'approval' }, { approval: [{ subjectId }] })
  const { kind } = await subjectOf(pen.trx, subjectId)
  const isLast = (await namesUnder(pen.trx, subjectId)).length === (await namesNeeded(pen.trx, kind, subjectId))
  if (isLast) await actOf(kind).onceNamed?.(pen, subjectId)
  return id
}

/** Why a person's name does not count under an entry, as the code of an InputError; null when nothing is in the way. */
export async function hindranceTo(
  db: Database,
  subjectId: string,
  { personId, at }: { personId: Id<'person'>; at: Instant },
): Promise<string | null> {
  const { kind, writtenBy } = await subjectOf(db, subjectId)
  const act = actOf(kind)
  const joinerId = (await joinersOf(db, [subjectId])).get(subjectId)
  if (writtenBy === personId || joinerId === personId) return 'approval-by-the-writer'
  if ((await act.concerned?.(db, subjectId))?.includes(personId)) return 'approval-by-one-concerned'
  if (act.asked && !(await act.asked(db, subjectId)).includes(personId)) return 'approval-not-asked'
  const chosen = (await act.named?.(db, subjectId)) ?? []
  if (chosen.length > 0 && !chosen.includes(personId)) return 'approval-not-asked'
  const names = await namesUnder(db, subjectId)
  if (names.length >= (chosen.length || act.names)) return 'approval-twice'
  if (names.includes(personId)) return 'approval-own-already'
  if (await withheldOf(db, subjectId)) return 'approval-withheld'
  const isNear = (await act.alsoMay?.(db, subjectId))?.includes(personId) && chosen.length === 0
  return isNear ? null : notCounting(db, personId, at)
}

export async function subjectOf(db: Database, id: string) {
  return db.selectFrom('entry').select(['kind', 'writtenBy']).where('id', '=', id).executeTakeFirstOrThrow()
}

/** The persons whose names stand under an entry. */
export async function namesUnder(db: Database, subjectId: string): Promise<string[]> {
  const rows = await db
    .selectFrom('approval')
    .innerJoin('entry', 'entry.id', 'approval.entryId')
    .select('entry.writtenBy')
    .where('subjectId', '=', subjectId)
    .where(standing('approval'))
    .execute()
  return rows.map(({ writtenBy }) => writtenBy)
}

const nameRows = readTogether('names', (db) =>
  db
    .selectFrom('approval')
    .innerJoin('entry', 'entry.id', 'approval.entryId')
    .innerJoin('person', 'person.entryId', 'entry.writtenBy')
    .where(standing('approval'))
    .select(['approval.subjectId', 'entry.writtenBy as personId', 'person.name'])
    .select('entry.writtenAt as at')
    .orderBy(asWritten),
)

/** All names under each entry, in the order of writing. */
export async function namesByEntry(db: Database) {
  const rows = await nameRows(db)
  return group(rows, (row) => row.subjectId)
}

/** The first second name under each entry. */
export function approvals(db: Database): Promise<ReadonlyMap<string, Approval>> {
  return kept(db, 'second names', null, () => readApprovals(db))
}

const secondNames = readTogether('names', (db) =>
  db
    .selectFrom('approval')
    .innerJoin('entry', 'entry.id', 'approval.entryId')
    .innerJoin('person', 'person.entryId', 'entry.writtenBy')
    .select(['approval.subjectId', 'entry.id', 'entry.writtenBy', 'entry.writtenAt', 'person.name'])
    .where(standing('approval'))
    .orderBy(asWritten, 'desc'),
)

async function readApprovals(db: Database): Promise<Map<string, Approval>> {
  const rows = await secondNames(db)
  return new Map(
    rows.map((row) => [
      row.subjectId,
      { id: row.id, approverId: row.writtenBy, approverName: row.name, approvedAt: row.writtenAt },
    ]),
  )
}
