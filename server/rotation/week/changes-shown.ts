import type { FastifyRequest } from 'fastify'
import type { PlannedTurn } from '../../../domain/rotation/timetable/types.ts'
import { amendmentLines, handLines, overlapWords, warningWords } from './change-lines.ts'
import type { ShownWeek } from './view.ts'

/** What the pages of a week show of the committee's hand. */
export function handShown(
  { visit }: FastifyRequest,
  week: ShownWeek,
  standing: readonly PlannedTurn[] = week.results.turns,
) {
  return {
    handLines: handLines(week, visit),
    amendmentLines: amendmentLines(week, week.amendments, visit),
    warnings: warningWords(week, visit),
    twoAtOnce: overlapWords(week.inputs, standing, visit),
    published: week.published !== null,
    officerPlotIds: week.inputs.turnFacts?.officerPlotIds ?? [],
  }
}
