import type { Database } from '../../database/connection.ts'

/** Two phones and a day's paper come in out of order within the day; a clock that lost its power is out by more (common practice, no source). */
const SET_RIGHT_MS = 24 * 3_600_000

/** Draws written by a clock that stood well before that of the entry ahead of them, with the moment of that entry. */
export async function clockJumps(db: Database): Promise<Map<string, string>> {
  const rows = await db
    .selectFrom('abstraction')
    .innerJoin('entry', 'entry.id', 'abstraction.entryId')
    .innerJoin('entry as ahead', (join) => join.on((eb) => eb('ahead.seq', '=', eb('entry.seq', '-', 1))))
    .select(['entry.id', 'entry.writtenAt', 'ahead.writtenAt as aheadAt'])
    .whereRef('ahead.writtenAt', '>', 'entry.writtenAt')
    .execute()
  const jumped = rows.filter(({ writtenAt, aheadAt }) => Date.parse(aheadAt) - Date.parse(writtenAt) > SET_RIGHT_MS)
  return new Map(jumped.map(({ id, aheadAt }) => [id, aheadAt]))
}
