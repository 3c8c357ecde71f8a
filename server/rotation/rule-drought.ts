import type { WeekDrought } from '../../domain/rotation/rule-types.ts'
import type { Database } from '../database/connection.ts'

/** The stage of drought declared on a day, with what it leaves of each class's need. */
export async function declaredDrought(_db: Database, _on: string): Promise<WeekDrought | null> {
  return null
}
