import type { FastifyRequest } from 'fastify'
import { amendmentLines, handLines, warningWords } from './hand-lines.ts'
import type { ShownWeek } from './week-view.ts'

/** What the pages of a week show of the committee's hand. */
export function handShown({ visit }: FastifyRequest, week: ShownWeek) {
  return {
    handLines: handLines(week, visit),
    amendmentLines: amendmentLines(week, week.amendments, visit),
    warnings: warningWords(week, visit),
    published: week.published !== null,
    officerPlotIds: week.inputs.turnFacts?.officerPlotIds ?? [],
  }
}
