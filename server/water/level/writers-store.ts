import type { CalendarDate, Instant } from '../../../domain/calendar.ts'
import { may } from '../../../domain/people/permissions.ts'
import { newBookUntil } from '../../book/names/first-days.ts'
import { readTogether } from '../../book/register/together.ts'
import { standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'
import { allRoles } from '../../people/person/store.ts'

export interface LevelWriters {
  /** What was written until then was written while the book was new. */
  newUntil: Instant
  /** Whether more than one person signs in who by office may write levels. */
  areSeveral: boolean
}

const beginnings = readTogether('water', (db) =>
  db
    .selectFrom('entry')
    .select('writtenAt as firstAt')
    .select(({ selectFrom }) =>
      selectFrom('publishedWeek')
        .innerJoin('entry as first', 'first.id', 'publishedWeek.entryId')
        .select(({ fn }) => fn.min<string | null>('first.writtenAt').as('at'))
        .as('publishedAt'),
    )
    // The first of all entries: they are numbered without a gap.
    .where('seq', '=', 1),
)

const signingIn = readTogether('water', (db) =>
  db.selectFrom('credential').select('personId').distinct().where(standing('credential')),
)

/** By whom a doubted reading can be borne out on a day. */
export async function levelWriters(db: Database, on: CalendarDate): Promise<LevelWriters> {
  const [book] = await beginnings(db)
  const signIns = new Set((await signingIn(db)).map(({ personId }) => personId))
  const writers = [...(await allRoles(db, on))].filter(
    ([personId, roles]) => signIns.has(personId) && may({ roles, permission: 'level.record' }),
  )
  return { newUntil: book ? newBookUntil(book) : '', areSeveral: writers.length > 1 }
}
