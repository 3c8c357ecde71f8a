import type { RuleName } from '../../../domain/rotation/rule/compare.ts'
import type { WeekChoice } from '../../../domain/rotation/rule/types.ts'
import { appendEntry, type Pen } from '../../book/entries.ts'
import { standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'

/** The rule last picked for a week, with its reason; null where nobody picked one. */
export async function weekChoice(db: Database, weekStartOn: string): Promise<WeekChoice | null> {
  const row = await db
    .selectFrom('week_rule')
    .innerJoin('entry', 'entry.id', 'week_rule.entry_id')
    .innerJoin('person', 'person.entry_id', 'entry.written_by')
    .select(['week_rule.rule', 'entry.reason', 'entry.written_at', 'person.name'])
    .where('week_start_on', '=', weekStartOn)
    .where(standing('week_rule'))
    .orderBy('entry.seq', 'desc')
    .executeTakeFirst()
  if (!row) return null
  return { rule: row.rule as RuleName, reason: row.reason ?? '', chosenBy: row.name, chosenAt: row.written_at }
}

export async function chooseWeekRule(
  pen: Pen,
  { weekStartOn, rule, reason }: { weekStartOn: string; rule: RuleName; reason: string },
): Promise<string> {
  return appendEntry(pen, { kind: 'week-rule', reason }, { week_rule: [{ week_start_on: weekStartOn, rule }] })
}
