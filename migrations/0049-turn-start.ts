import type { Kysely } from 'kysely'
import { createFactTables, OWN_ID } from './append-only.ts'

/** What the pump's meter showed when a turn began: with its volume the reading at which to stop. */
export async function up(db: Kysely<any>): Promise<void> {
  await createFactTables(db, {
    turn_start: `${OWN_ID}, turn_id text not null references turn (id), meter_m3 real not null check (meter_m3 >= 0)`,
  })
}
