import type { Id } from '../../../domain/id.ts'
import { householdOf } from '../../../domain/people/household.ts'
import type { Database } from '../../database/connection.ts'
import { latestOfEach, standing } from '../standing.ts'
import { notCounting } from './counting.ts'
import { householdFacts } from './household.ts'

/**
 * Everybody of whom a line of the register tells, and their households before and from its day on. Where nobody who signs in is left outside
 * of these, only those whom it names: else one tap would bind a village together for good.
 */
export async function householdsOfLine(db: Database, id: string): Promise<Id<'person'>[]> {
  const { named, households, others } = await lineOf(db, id)
  return others.length > 0 ? households : named
}

/** Whoever may name a line that parts people where nobody of the committee is left outside: anybody else who signs in and is not of them. */
export async function membersBesideLine(db: Database, id: string): Promise<Id<'person'>[]> {
  const { named, others, signing, at } = await lineOf(db, id)
  const outside = others.length > 0 ? others : signing.filter((personId) => !named.includes(personId))
  const committee = await committeeOn(db, at.slice(0, 10))
  const counting: Id<'person'>[] = []
  for (const personId of outside) if ((await notCounting(db, personId, at)) === null) counting.push(personId)
  return counting.some((personId) => committee.includes(personId)) ? [] : counting
}

/** Whom a line names, their households before and from its day on, and who else signs in, its writer apart. */
async function lineOf(db: Database, id: string) {
  const rows = await db
    .selectFrom('livesTogether')
    .innerJoin('entry', 'entry.id', 'livesTogether.entryId')
    .select(['personId', 'fromOn', 'entry.writtenAt', 'entry.writtenBy'])
    .where('livesTogether.entryId', '=', id)
    .execute()
  const facts = await householdFacts(db)
  const named = rows.map(({ personId }) => personId)
  const days = rows.slice(0, 1).flatMap(({ fromOn, writtenAt }) => [fromOn, writtenAt.slice(0, 10)])
  const households = [...new Set([...named, ...days.flatMap((on) => householdOf(facts, named, on))])]
  const credentials = await db
    .selectFrom('credential')
    .select('personId')
    .distinct()
    .where(standing('credential'))
    .execute()
  const signing = credentials.map(({ personId }) => personId).filter((personId) => personId !== rows[0]?.writtenBy)
  const others = signing.filter((personId) => !households.includes(personId))
  return { named, households, others, signing, at: rows[0]?.writtenAt ?? '' }
}

async function committeeOn(db: Database, on: string): Promise<Id<'person'>[]> {
  const rows = await db
    .selectFrom('personRole')
    .innerJoin('entry', 'entry.id', 'personRole.entryId')
    .select(['personRole.entryId', 'personId', 'role', 'fromOn', 'seq'])
    .where(standing('personRole'))
    .execute()
  const last = latestOfEach(rows, ({ personId }) => personId, on)
  const isLast = ({ personId, entryId }: (typeof rows)[number]) =>
    last.some((one) => one.personId === personId && one.entryId === entryId)
  return rows.filter((row) => row.role === 'committee' && isLast(row)).map(({ personId }) => personId)
}
