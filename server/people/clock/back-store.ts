import type { Instant } from '../../../domain/calendar.ts'
import { waitsForName } from '../../book/name-needed.ts'
import type { Database } from '../../database/connection.ts'

/** What somebody said of a clock that had stood ahead, with when the book was in use before: it waits for another officer's name. */
export function clocksToldBack(
  db: Database,
): Promise<{ id: string; toldAt: Instant; writtenAt: Instant; writerName: string }[]> {
  return db
    .selectFrom('clockTold')
    .innerJoin('entry', 'entry.id', 'clockTold.entryId')
    .innerJoin('person as writer', 'writer.entryId', 'entry.writtenBy')
    .select(['entry.id', 'clockTold.toldAt', 'entry.writtenAt', 'writer.name as writerName'])
    .where(waitsForName('clockTold'))
    .execute()
}
