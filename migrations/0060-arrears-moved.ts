import type { Kysely } from 'kysely'
import { createFactTables, OWN_ID } from './append-only.ts'

/** What a tenant left unpaid and the owner of the plot is charged with, by the group's rule and under a second name. */
export async function up(db: Kysely<unknown>): Promise<void> {
  await createFactTables(db, {
    arrears_move: `${OWN_ID}, tenant_id text not null references person (entry_id), owner_id text not null references person (entry_id),
      amount_minor integer not null check (amount_minor > 0), words text not null, check (tenant_id <> owner_id)`,
  })
}
