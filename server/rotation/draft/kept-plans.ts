import { createHash } from 'node:crypto'
import { planWeek } from '../../../domain/rotation/draft/plan.ts'
import type { WeekInputs } from '../../../domain/rotation/week/inputs.ts'
import type { PlannedWeek } from '../../../domain/rotation/week/planned-week.ts'
import { frozen } from '../../book/kept-answers.ts'

/** A draft is looked at from a dozen pages; that many inputs, whoever looks, are told apart. */
const MOST_KEPT = 12
const plans = new Map<string, PlannedWeek>()

/**
 * The plan of a week. It follows from the inputs alone and takes long, so the last ones are kept under what they were reckoned
 * from: the same inputs, to the last letter, have the same plan. It is frozen, since many pages share it.
 */
export function keptPlan(inputs: WeekInputs): PlannedWeek {
  const key = createHash('sha256').update(JSON.stringify(inputs)).digest('base64')
  const plan = plans.get(key) ?? frozen(planWeek(inputs))
  plans.delete(key)
  plans.set(key, plan)
  for (const oldest of plans.keys()) {
    if (plans.size <= MOST_KEPT) break
    plans.delete(oldest)
  }
  return plan
}
