import type { CalendarDate } from '../../../domain/calendar.ts'
import type { RuleName } from '../../../domain/rotation/rule/compare.ts'
import type { WeekChoice } from '../../../domain/rotation/rule/types.ts'
import { appendEntry, type Pen } from '../../book/entries.ts'
import { asWritten, standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'

/** The rule last picked for a week, with its reason; null where nobody picked one. */
export async function weekChoice(db: Database, weekStartOn: CalendarDate): Promise<WeekChoice | null> {
  const row = await db
    .selectFrom('weekRule')
    .innerJoin('entry', 'entry.id', 'weekRule.entryId')
    .innerJoin('person', 'person.entryId', 'entry.writtenBy')
    .select(['weekRule.rule', 'entry.reason', 'entry.writtenAt', 'person.name'])
    .where('weekStartOn', '=', weekStartOn)
    .where(standing('weekRule'))
    .orderBy(asWritten, 'desc')
    .executeTakeFirst()
  if (!row) return null
  return { rule: row.rule as RuleName, reason: row.reason ?? '', chosenBy: row.name, chosenAt: row.writtenAt }
}

export async function chooseWeekRule(
  pen: Pen,
  { weekStartOn, rule, reason }: { weekStartOn: CalendarDate; rule: RuleName; reason: string },
): Promise<string> {
  return appendEntry(pen, { kind: 'week-rule', reason }, { weekRule: [{ weekStartOn, rule }] })
}
