import { checkAllocation } from '../allocation/check.ts'
import { checkTimetable } from '../timetable/check/timetable.ts'
import type { WeekInputs } from '../week/inputs.ts'
import type { PlannedWeek } from '../week/planned-week.ts'
import { checkRule } from './check-rule.ts'
import { weekAllocationInput, weekTimetableInput } from './limits.ts'
import { withTurnFacts } from './with-turn-facts.ts'

export interface WeekProblem {
  judge: 'allocation' | 'rule' | 'timetable'
  code: string
  values: Record<string, string | number>
}

/** Limits that the hours set on top of the raw ones do not count against a week. */
const ABOUT_LEVELS = ['level-could-be-raised', 'minimum-could-be-raised']

/**
 * The judges on a whole week. The allocation is judged twice: as the maximum under the rule and the limits it was last
 * run with, and against the raw limits of the inputs alone. What the group's rule promises (drinking water, protected
 * plots, minimums, caps, the spare part) is judged once more from the plain inputs. An empty list means that the week may be published.
 */
export function checkWeek(inputs: WeekInputs, week: PlannedWeek): WeekProblem[] {
  const { allocation, allocationInput } = week
  const raw = weekAllocationInput(inputs, { pumpM3: {}, claimM3: {} })
  const againstRaw = checkAllocation({ input: raw, allocation })
  const result = { turns: week.turns, unplacedM3: week.unplaced, fills: week.fills ?? [], notes: week.notes }
  const turns = checkTimetable({ input: withTurnFacts(inputs, weekTimetableInput(inputs, allocation.claims)), result })
  return [
    ...checkAllocation({ input: allocationInput, allocation }),
    ...againstRaw.filter(({ code }) => !ABOUT_LEVELS.includes(code)),
  ]
    .map((problem): WeekProblem => ({ judge: 'allocation', ...problem }))
    .concat(checkRule(inputs, week).map((problem): WeekProblem => ({ judge: 'rule', ...problem })))
    .concat(turns.map((problem): WeekProblem => ({ judge: 'timetable', ...problem })))
}
