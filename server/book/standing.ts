import { type RawBuilder, sql } from 'kysely'
import type { CalendarDate } from '../../domain/calendar.ts'
import type { FactTables } from '../database/schema.ts'
import { holdsAfterJoining } from './after-joining.ts'
import { standsOnceNamed } from './name-needed.ts'

/**
 * A fact stands as long as no later entry corrects the entry it hangs on. Where two devices corrected the same entry and
 * their books were merged, the correction written last stands. What another device brought stands as `holdsAfterJoining`
 * says, and what needs a second name once it has it (`standsOnceNamed`). Use as `.where(standing('levelReading'))`.
 */
export function standing(table: keyof FactTables): RawBuilder<boolean> {
  const own = sql.ref(`${table}.entry_id`)
  return sql<boolean>`
    not exists (select 1 from entry as correction where correction.corrects_id = ${own})
    and not exists (
      select 1 from entry as mine join entry as rival on rival.corrects_id = mine.corrects_id
      where mine.id = ${own} and (rival.written_at, rival.id) > (mine.written_at, mine.id))
    and ${holdsAfterJoining(table)}
    and ${standsOnceNamed(table)}`
}

/**
 * The order in which entries were written, for rows joined to their entry. The sign before it keeps SQLite from going through
 * every entry of the book in that order for the few rows of a small table: it reads those and sorts them.
 */
export const asWritten = sql`+entry.seq`

/** Of rows that carry a from-date, the last one in force on a day; the later written wins on the same day. */
export function inForce<R extends { fromOn: CalendarDate; seq: number }>(
  rows: readonly R[],
  on: string,
): R | undefined {
  let found: R | undefined
  for (const row of rows) {
    if (row.fromOn > on) continue
    if (!found || row.fromOn > found.fromOn || (row.fromOn === found.fromOn && row.seq > found.seq)) found = row
  }
  return found
}

/** Of rows with a from-date, the one in force for each thing; a thing not yet begun shows its first row. */
export function latestOfEach<R extends { fromOn: CalendarDate; seq: number }>(
  rows: readonly R[],
  thing: (row: R) => string,
  on: string,
): R[] {
  const groups = new Map<string, R[]>()
  for (const row of rows) groups.set(thing(row), [...(groups.get(thing(row)) ?? []), row])
  return [...groups.values()].map((group) => inForce(group, on) ?? group[0]!)
}
