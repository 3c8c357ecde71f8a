import type { WeekDrought } from '../../../domain/rotation/rule/types.ts'
import type { Database } from '../../database/connection.ts'
import { declaredStage } from '../../water/drought/store.ts'

/** The stage of drought that people have declared, as a week keeps it. */
export async function declaredDrought(db: Database, on: string): Promise<WeekDrought | null> {
  const declared = await declaredStage(db, on)
  return declared && { stage: declared.stage, name: declared.name, capByClass: declared.capByClass }
}
