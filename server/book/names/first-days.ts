import type { Instant } from '../../../domain/calendar.ts'
import type { Database } from '../../database/connection.ts'
import { readTogether } from '../register/together.ts'

/** A group that takes longer to its first week has met by then. Own choice, no source. */
const MOST_DAYS = 30

const firstEntry = readTogether('group', (db) =>
  db
    .selectFrom('entry')
    .select('writtenAt')
    .where('seq', '=', ({ selectFrom }) => selectFrom('entry').select(({ fn }) => fn.min('seq').as('first'))),
)

/**
 * Whether a book was new at a moment: no week was published yet, and at most thirty days had gone since its first entry. Until then the
 * founding officers are written in at once; afterwards no office is given or taken by one name.
 */
export async function isNewBook(db: Database, at: Instant): Promise<boolean> {
  const [first] = await firstEntry(db)
  if (!first) return true
  if (Date.parse(at) - Date.parse(first.writtenAt) > MOST_DAYS * 86_400_000) return false
  const published = await db
    .selectFrom('publishedWeek')
    .innerJoin('entry', 'entry.id', 'publishedWeek.entryId')
    .select('entry.id')
    .where('entry.writtenAt', '<=', at)
    .limit(1)
    .executeTakeFirst()
  return published === undefined
}

/** Until when a book was new, by its first entry and its first published week. */
export function newBookUntil({ firstAt, publishedAt }: { firstAt: Instant; publishedAt: Instant | null }): Instant {
  const latest = new Date(Date.parse(firstAt) + MOST_DAYS * 86_400_000).toISOString()
  return publishedAt !== null && publishedAt < latest ? publishedAt : latest
}
