import type { Id } from '../../../domain/id.ts'
import type { Database } from '../../database/connection.ts'
import { asWritten, standing } from '../standing.ts'

/** What warns of other people's words keeps its own. */
export const FIXED_KEY = 'names.reworded'

/** How many sentences of a language stand in words that one person wrote last. */
export async function rewordedBy(
  db: Database,
  { language, personId }: { language: string; personId: Id<'person'> },
): Promise<number> {
  const rows = await db
    .selectFrom('ownWords')
    .innerJoin('entry', 'entry.id', 'ownWords.entryId')
    .select(['messageKey', 'words', 'entry.writtenBy'])
    .where('language', '=', language)
    .where(standing('ownWords'))
    .orderBy(asWritten)
    .execute()
  const last = new Map(rows.map((row) => [row.messageKey, row]))
  return [...last.values()].filter(({ words, writtenBy }) => words !== null && writtenBy === personId).length
}
