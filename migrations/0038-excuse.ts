import type { Kysely } from 'kysely'
import { createFactTables, OWN_ID } from './append-only.ts'

/** Whoever excuses a turn writes when and through whom word came, and after the turn's hour why the committee excused it. */
export async function up(db: Kysely<any>): Promise<void> {
  await createFactTables(db, {
    turn_excuse: `${OWN_ID}, on_date text not null, clock text not null, through text not null,
      decided_for text`,
  })
}
