import type { Id } from '../../id.ts'
import type { WeekInputs } from '../draft/plan.ts'
import type { PlannedTurn, TimetableRules } from '../timetable/types.ts'
import type { PlannedWeek } from '../week/planned-week.ts'

export const SHORT_DAY_ORDERS = ['level', 'queue'] as const
export type ShortDayOrder = (typeof SHORT_DAY_ORDERS)[number]

export interface ReshareInput {
  inputs: WeekInputs
  results: Pick<PlannedWeek, 'allocationInput'>
  on: string
  pumpId: Id<'pump'>
  /** From when the day is another one, in minutes after midnight. */
  fromMinute: number
  /** What the pump is expected to give by clock hour from then on. */
  flowM3PerHByHour: readonly number[]
  /** Before this minute nobody can be called to an earlier start than agreed; left out: from the beginning. */
  callableFromMinute?: number
  /** Nothing comes before this minute; 1440 for a pump that stays down all day. */
  downUntilMinute?: number
  /** All turns of the pump that stand on the day and were taken or may still be. */
  turns: readonly PlannedTurn[]
  /** Which of them are still to come or running. */
  openIds: ReadonlySet<string>
  /** What the log has for a running turn; where it has nothing, the plan says what was drawn. */
  loggedM3?: Readonly<Record<string, number>>
  /** What each plot's turns of the whole week come to, those that were missed left out. */
  weekM3ByPlot: Readonly<Record<string, number>>
  rules?: TimetableRules
  /** How the group shares a day that gives less: all raised to one level, or by the list as far as it goes. */
  order?: ShortDayOrder
}
