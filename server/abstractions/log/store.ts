import type { Id } from '../../../domain/id.ts'
import { asWritten, standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'
import { abstractionRows } from '../draw/rows.ts'
import type { Abstraction } from '../draw/store.ts'

/** What was logged for some turns, in the order of writing. */
export async function loggedOfTurns(db: Database, turnIds: readonly Id<'turn'>[]): Promise<Abstraction[]> {
  if (turnIds.length === 0) return []
  return abstractionRows(db)
    .where(standing('abstraction'))
    .where('abstraction.turnId', 'in', turnIds)
    .orderBy(asWritten)
    .execute()
}
