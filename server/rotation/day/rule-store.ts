import type { CalendarDate } from '../../../domain/calendar.ts'
import type { ShortDayOrder } from '../../../domain/rotation/day/reshare-input.ts'
import { appendEntry, type Pen } from '../../book/entries.ts'
import { readTogether } from '../../book/register/together.ts'
import { inForce, standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'

const ruleRows = readTogether('turns', (db) =>
  db
    .selectFrom('shortDayRule')
    .innerJoin('entry', 'entry.id', 'shortDayRule.entryId')
    .select(['fromOn', 'rule', 'entry.seq'])
    .where(standing('shortDayRule')),
)

/** How the rest of a day that gives less is shared; all to one level where the group has set nothing. */
export async function shortDayRuleOn(db: Database, on: CalendarDate): Promise<ShortDayOrder> {
  const rows = await ruleRows(db)
  return (inForce(rows, on)?.rule as ShortDayOrder | undefined) ?? 'level'
}

export async function setShortDayRule(pen: Pen, rule: { fromOn: CalendarDate; rule: ShortDayOrder }): Promise<string> {
  const row = { fromOn: rule.fromOn, rule: rule.rule }
  return appendEntry(pen, { kind: 'short-day-rule' }, { shortDayRule: [row] })
}
