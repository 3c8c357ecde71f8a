import type { TurnLengths } from '../../../domain/rotation/week/turn-facts.ts'
import { appendEntry, type Pen } from '../../book/entries.ts'
import { inForce, standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'

/** The lengths that the group has set, in force on a day; undefined where it never set any. */
export async function turnLengthsOn(db: Database, on: string): Promise<TurnLengths | undefined> {
  const rows = await db
    .selectFrom('turn_length')
    .innerJoin('entry', 'entry.id', 'turn_length.entry_id')
    .selectAll('turn_length')
    .select('entry.seq')
    .where(standing('turn_length'))
    .execute()
  const row = inForce(rows, on)
  if (!row) return undefined
  const { shortest_minutes: minTurnMinutes, changeover_minutes: changeoverMinutes, longest_minutes: longest } = row
  return { minTurnMinutes, changeoverMinutes, ...(longest === null ? {} : { maxTurnMinutes: longest }) }
}

export async function setTurnLengths(
  pen: Pen,
  lengths: { fromOn: string; shortestMinutes: number; longestMinutes: number | null; changeoverMinutes: number },
): Promise<string> {
  const row = {
    from_on: lengths.fromOn,
    shortest_minutes: lengths.shortestMinutes,
    longest_minutes: lengths.longestMinutes,
    changeover_minutes: lengths.changeoverMinutes,
  }
  return appendEntry(pen, { kind: 'turn-length' }, { turn_length: [row] })
}
