import type { CalendarDate } from '../../../domain/calendar.ts'
import type { TurnLengths } from '../../../domain/rotation/week/turn-facts.ts'
import { appendEntry, type Pen } from '../../book/entries.ts'
import { readTogether } from '../../book/register/together.ts'
import { inForce, standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'

const lengthRows = readTogether('turns', (db) =>
  db
    .selectFrom('turnLength')
    .innerJoin('entry', 'entry.id', 'turnLength.entryId')
    .selectAll('turnLength')
    .select('entry.seq')
    .where(standing('turnLength')),
)

/** The lengths that the group has set, in force on a day; undefined where it never set any. */
export async function turnLengthsOn(db: Database, on: string): Promise<TurnLengths | undefined> {
  const rows = await lengthRows(db)
  const row = inForce(rows, on)
  if (!row) return undefined
  const { shortestMinutes: minTurnMinutes, changeoverMinutes, longestMinutes: longest } = row
  return { minTurnMinutes, changeoverMinutes, ...(longest === null ? {} : { maxTurnMinutes: longest }) }
}

export async function setTurnLengths(
  pen: Pen,
  lengths: { fromOn: CalendarDate; shortestMinutes: number; longestMinutes: number | null; changeoverMinutes: number },
): Promise<string> {
  const row = {
    fromOn: lengths.fromOn,
    shortestMinutes: lengths.shortestMinutes,
    longestMinutes: lengths.longestMinutes,
    changeoverMinutes: lengths.changeoverMinutes,
  }
  return appendEntry(pen, { kind: 'turn-length' }, { turnLength: [row] })
}
