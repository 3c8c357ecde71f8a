import type { Instant } from '../../../domain/calendar.ts'
import type { Database } from '../../database/connection.ts'

interface Correction {
  id: string
  correctedId: string
  reason: string
  writtenAt: Instant
  writerName: string
  /** True when it only strikes the old entry out and states nothing in its place. */
  strikesOut: boolean
}

/** The entry that took an entry's place, if any. */
export async function correctionOf(db: Database, entryId: string): Promise<Correction | undefined> {
  const row = await db
    .selectFrom('entry')
    .innerJoin('person as writer', 'writer.entryId', 'entry.writtenBy')
    .leftJoin('abstraction', 'abstraction.entryId', 'entry.id')
    .select(['entry.id', 'entry.reason', 'entry.writtenAt', 'writer.name', 'abstraction.entryId as fact'])
    .where('entry.correctsId', '=', entryId)
    .orderBy('entry.seq', 'desc')
    .limit(1)
    .executeTakeFirst()
  if (!row) return undefined
  return {
    id: row.id,
    correctedId: entryId,
    reason: row.reason ?? '',
    writtenAt: row.writtenAt,
    writerName: row.name,
    strikesOut: row.fact === null,
  }
}

/** For every correction of a draw, the place in the book of the entry that was written first. */
export async function firstPlaces(db: Database): Promise<Map<string, number>> {
  const links = await db
    .selectFrom('entry')
    .innerJoin('entry as old', 'old.id', 'entry.correctsId')
    .select(['entry.id', 'old.id as oldId', 'old.seq as oldSeq'])
    .where('entry.kind', '=', 'abstraction')
    .orderBy('entry.seq')
    .execute()
  const places = new Map<string, number>()
  // A correction is written after what it corrects, so the older link is already known.
  for (const link of links) places.set(link.id, places.get(link.oldId) ?? link.oldSeq)
  return places
}
