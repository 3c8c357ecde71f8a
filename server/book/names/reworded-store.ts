import { group } from 'd3-array'
import type { Instant } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
import type { Database } from '../../database/connection.ts'
import { reachedAt } from '../merge/reached.ts'
import { readTogether } from '../register/together.ts'
import { asWritten, standing } from '../standing.ts'

/** What warns of other people's words keeps its own. */
export function isFixed(key: string): boolean {
  return key.startsWith('names.reworded')
}

const ownWordRows = readTogether('group', (db) =>
  db
    .selectFrom('ownWords')
    .innerJoin('entry', 'entry.id', 'ownWords.entryId')
    .innerJoin('person', 'person.entryId', 'entry.writtenBy')
    .select(['messageKey', 'words', 'language', 'entry.writtenBy', 'entry.writtenAt', 'person.name'])
    .select(reachedAt.as('reachedAt'))
    .where(standing('ownWords'))
    .orderBy(asWritten),
)

/** The sentences of a language that stand in somebody's words, each as it was written last. */
async function reworded(db: Database, language: string) {
  const rows = (await ownWordRows(db)).filter((row) => row.language === language)
  return [...new Map(rows.map((row) => [row.messageKey, row])).values()].filter(({ words }) => words !== null)
}

/** How many sentences of a language stand in words that one of some people wrote last. */
export async function rewordedBy(
  db: Database,
  { language, personIds }: { language: string; personIds: readonly Id<'person'>[] },
): Promise<number> {
  return (await reworded(db, language)).filter(({ writtenBy }) => personIds.includes(writtenBy)).length
}

/** Who else has put how many sentences of a language into other words since a moment. */
export async function rewordedSince(
  db: Database,
  { language, personId, since }: { language: string; personId: Id<'person'>; since: Instant },
): Promise<{ name: string; count: number; writtenAt: Instant }[]> {
  const others = (await reworded(db, language)).filter((row) => row.reachedAt >= since && row.writtenBy !== personId)
  return [...group(others, ({ writtenBy }) => writtenBy).values()].map((own) => ({
    name: own[0]!.name,
    count: own.length,
    writtenAt: own.at(-1)!.writtenAt,
  }))
}
