import type { Id } from '../../../domain/id.ts'
import { joinersOf } from '../../book/merge/joiners-store.ts'
import { isNewBook } from '../../book/names/first-days.ts'
import type { Database } from '../../database/connection.ts'
import type { LogFlag } from './log-flag.ts'

interface Matter {
  draw: { id: string }
  flag: LogFlag
}

interface Looking {
  db: Database
  person: { id: Id<'person'> }
  at: Date
}

/**
 * Which of some matters somebody else settles than this visitor, who wrote, or brought, one of the entries that it is about. While
 * the book is new one may be the only officer, so that everybody settles.
 */
export async function ownMatters({ db, person, at }: Looking, matters: readonly Matter[]): Promise<Set<Matter>> {
  if (matters.length === 0 || (await isNewBook(db, at.toISOString()))) return new Set()
  const ids = [...new Set(matters.flatMap(entriesOf))]
  const written = await db
    .selectFrom('entry')
    .select('id')
    .where('id', 'in', ids)
    .where('writtenBy', '=', person.id)
    .execute()
  const brought = [...(await joinersOf(db, ids))].filter(([, joinerId]) => joinerId === person.id)
  const own = new Set([...written.map(({ id }) => id), ...brought.map(([id]) => id)])
  return new Set(matters.filter((matter) => entriesOf(matter).some((id) => own.has(id))))
}

function entriesOf({ draw, flag }: Matter): string[] {
  return [draw.id, ...(flag.otherIds ?? [])]
}
