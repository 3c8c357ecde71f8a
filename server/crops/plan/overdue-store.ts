import type { CalendarDate } from '../../../domain/calendar.ts'
import type { Database } from '../../database/connection.ts'
import { isOverdue } from './ground.ts'
import { cropPlans, type PlannedCrop } from './store.ts'

/** Crops past their last stage of which nobody wrote the harvest. */
export async function overduePlans(db: Database, today: CalendarDate): Promise<PlannedCrop[]> {
  return (await cropPlans(db)).filter((plan) => isOverdue(plan, today))
}
