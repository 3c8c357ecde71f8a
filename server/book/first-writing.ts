import type { Database } from '../database/connection.ts'
import { kept } from './kept-answers.ts'

/**
 * The id under which a thing of some kind was first written, for any of its later writings: whoever names a thing may have
 * named it before it was corrected.
 */
export async function firstWritings(db: Database, kind: string): Promise<(id: string) => string> {
  const corrections = await kept(db, 'corrections', kind, () =>
    db
      .selectFrom('entry')
      .select(['id', 'correctsId'])
      .where('kind', '=', kind)
      .where('correctsId', 'is not', null)
      .execute(),
  )
  const older = new Map(corrections.map(({ id, correctsId }) => [id, correctsId!]))
  return (id) => {
    let first = id
    while (older.has(first)) first = older.get(first)!
    return first
  }
}
