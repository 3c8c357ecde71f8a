import { type ExpressionBuilder, sql } from 'kysely'
import type { FactTables, Schema } from './schema.ts'

/** A fact stands as long as no later entry corrects the entry it hangs on. Use as `.where(standing('level_reading'))`. */
export function standing<T extends keyof FactTables>(table: T) {
  return (eb: ExpressionBuilder<Schema, T>) =>
    eb.not(
      eb.exists(
        eb
          .selectFrom('entry as correction')
          .select(sql`1`.as('one'))
          .where(sql<boolean>`correction.corrects_id = ${sql.ref(`${table}.entry_id`)}`) as never,
      ),
    )
}

/** Of rows that carry a from-date, the last one in force on a day; the later written wins on the same day. */
export function inForce<R extends { from_on: string; seq: number }>(rows: readonly R[], on: string): R | undefined {
  let found: R | undefined
  for (const row of rows) {
    if (row.from_on > on) continue
    if (!found || row.from_on > found.from_on || (row.from_on === found.from_on && row.seq > found.seq)) found = row
  }
  return found
}
