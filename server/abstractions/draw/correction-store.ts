import type { Instant } from '../../../domain/calendar.ts'
import { asWritten } from '../../book/standing.ts'
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
  return (await correctionsOf(db, [entryId])).get(entryId)
}

/** The same for several entries; of two that took the place of one, the one that was written last. */
export async function correctionsOf(db: Database, entryIds: readonly string[]): Promise<Map<string, Correction>> {
  if (entryIds.length === 0) return new Map()
  const rows = await db
    .selectFrom('entry')
    .innerJoin('person as writer', 'writer.entryId', 'entry.writtenBy')
    .leftJoin('abstraction', 'abstraction.entryId', 'entry.id')
    .select(['entry.id', 'entry.reason', 'entry.writtenAt', 'writer.name', 'abstraction.entryId as fact'])
    .select('entry.correctsId')
    .where('entry.correctsId', 'in', entryIds)
    .orderBy(asWritten)
    .execute()
  return new Map(
    rows.map((row) => [
      row.correctsId!,
      {
        id: row.id,
        correctedId: row.correctsId!,
        reason: row.reason ?? '',
        writtenAt: row.writtenAt,
        writerName: row.name,
        strikesOut: row.fact === null,
      },
    ]),
  )
}

/** Every correction of a draw, with the place in the book of what it corrects, first to last. */
export function correctionsOfDraws(db: Database) {
  return db
    .selectFrom('entry')
    .innerJoin('entry as old', 'old.id', 'entry.correctsId')
    .select(['entry.id', 'old.id as oldId', 'old.seq as oldSeq'])
    .where('entry.kind', '=', 'abstraction')
    .orderBy('entry.seq')
}

/** For each of them, the place in the book of the entry that was written first. */
export function firstPlaces(links: readonly { id: string; oldId: string; oldSeq: number }[]): Map<string, number> {
  const places = new Map<string, number>()
  // A correction is written after what it corrects, so the older link is already known.
  for (const link of links) places.set(link.id, places.get(link.oldId) ?? link.oldSeq)
  return places
}
