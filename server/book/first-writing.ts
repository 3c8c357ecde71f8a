import type { Database } from '../database/connection.ts'

/** Which entries of a kind took the place of which. */
export function correctionsOfKind(db: Database, kind: string) {
  return db
    .selectFrom('entry')
    .select(['id', 'correctsId'])
    .where('kind', '=', kind)
    .where('correctsId', 'is not', null)
}

/**
 * The id under which a thing of some kind was first written, for any of its later writings: whoever names a thing may have
 * named it before it was corrected.
 */
export function firstWriting(
  corrections: readonly { id: string; correctsId: string | null }[],
): (id: string) => string {
  const older = new Map(corrections.map(({ id, correctsId }) => [id, correctsId!]))
  return (id) => {
    let first = id
    while (older.has(first)) first = older.get(first)!
    return first
  }
}
