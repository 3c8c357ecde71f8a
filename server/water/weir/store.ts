import type { Id } from '../../../domain/id.ts'
import { kept } from '../../book/kept-answers.ts'
import { readTogether } from '../../book/register/together.ts'
import { standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'

export interface Weir {
  id: Id<'weir'>
  number: number
  name: string
  /** Metres along the stream from the uppermost point that the group measures from. */
  distanceM: number
}

const weirRows = readTogether('water', (db) =>
  db
    .selectFrom('weir')
    .select(['entryId as id', 'number', 'name', 'distanceM'])
    .where(standing('weir'))
    .orderBy('distanceM')
    .orderBy('number'),
)

/** Weirs from the head of the stream down. */
export function listWeirs(db: Database): Promise<readonly Weir[]> {
  return kept(db, 'weirs', null, () => weirRows(db))
}
