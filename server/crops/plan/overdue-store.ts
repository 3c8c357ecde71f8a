import type { CalendarDate } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
import type { Database } from '../../database/connection.ts'
import { isOverdue } from './ground.ts'
import { cropPlans } from './store.ts'

/** Plots with a crop past its last stage of which nobody wrote the harvest. */
export async function plotsWithOverdueCrops(db: Database, today: CalendarDate): Promise<Set<Id<'plot'>>> {
  return new Set((await cropPlans(db)).filter((plan) => isOverdue(plan, today)).map(({ plotId }) => plotId))
}
