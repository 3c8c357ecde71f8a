import { group } from 'd3-array'
import type { Instant } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
import type { Database } from '../../database/connection.ts'

interface Change {
  id: string
  kind: string
  writtenAt: Instant
  writtenBy: Id<'person'>
  reason: string | null
  /** The entry in whose place it stands; null for a change of an agreed week or of the group's settings. */
  correctsId: string | null
}

export interface Changer {
  personId: Id<'person'>
  number: number
  name: string
  /** The last first. */
  changes: Change[]
}

/** Everybody who put something right, struck it out, changed an agreed week or the group's settings, with all of it; whoever did so most often first. */
export async function changers(db: Database): Promise<Changer[]> {
  const changes = group(await allChanges(db), ({ writtenBy }) => writtenBy)
  const people = await db.selectFrom('person').select(['entryId as personId', 'number', 'name']).execute()
  return people
    .map((person) => ({ ...person, changes: changes.get(person.personId) ?? [] }))
    .filter((one) => one.changes.length > 0)
    .sort((a, b) => b.changes.length - a.changes.length || a.number - b.number)
}

/** Each half is found by an index of its own. */
async function allChanges(db: Database): Promise<Change[]> {
  const entries = db.selectFrom('entry').select(['id', 'seq', 'kind', 'writtenAt', 'writtenBy', 'reason', 'correctsId'])
  const corrections = await entries.where('correctsId', 'is not', null).execute()
  const byHand = await entries.where('kind', 'in', ['turn-change', 'turn-amendment', 'group-setting']).execute()
  return [...corrections, ...byHand.filter(({ correctsId }) => correctsId === null)].sort((a, b) => b.seq - a.seq)
}
