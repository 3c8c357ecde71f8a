import { sql } from 'kysely'
import type { Instant } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
import type { Database } from '../../database/connection.ts'

/** Entries that stand in the place of others, and changes of an agreed week by hand. */
const IS_CHANGE = sql<boolean>`(entry.corrects_id is not null or entry.kind in ('turn-change', 'turn-amendment', 'week-taken-back'))`

interface Changer {
  personId: Id<'person'>
  number: number
  name: string
  count: number
}

/** Everybody who put something right, struck it out or changed an agreed week, whoever did so most often first. */
export async function changers(db: Database): Promise<Changer[]> {
  return db
    .selectFrom('entry')
    .innerJoin('person', 'person.entryId', 'entry.writtenBy')
    .select(['person.entryId as personId', 'person.number', 'person.name'])
    .select(({ fn }) => fn.countAll<number>().as('count'))
    .where(IS_CHANGE)
    .groupBy(['person.entryId', 'person.number', 'person.name'])
    .orderBy('count', 'desc')
    .orderBy('person.number')
    .execute()
}

export interface Change {
  kind: string
  writtenAt: Instant
  reason: string | null
  /** The entry in whose place it stands; null for a change of an agreed week. */
  correctsId: string | null
}

/** What one person changed, the last first. */
export async function changesBy(db: Database, personId: Id<'person'>): Promise<Change[]> {
  return db
    .selectFrom('entry')
    .select(['kind', 'writtenAt', 'reason', 'correctsId'])
    .where('writtenBy', '=', personId)
    .where(IS_CHANGE)
    .orderBy('seq', 'desc')
    .execute()
}
