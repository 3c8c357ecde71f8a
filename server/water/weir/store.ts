import { standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'

export interface Weir {
  id: string
  number: number
  name: string
  /** Metres along the stream from the uppermost point that the group measures from. */
  distanceM: number
}

/** Weirs from the head of the stream down. */
export async function listWeirs(db: Database): Promise<Weir[]> {
  return db
    .selectFrom('weir')
    .select(['entry_id as id', 'number', 'name', 'distance_m as distanceM'])
    .where(standing('weir'))
    .orderBy('distance_m')
    .orderBy('number')
    .execute()
}
