import { type Kysely, sql } from 'kysely'
import { createFactTables, OWN_ID } from './append-only.ts'

/**
 * Devices on which people sign in by their mark and a short code: two officers register one, any of them ends it. The codes
 * themselves are kept outside the chain, hashed, with the misses since they last fitted.
 */
export async function up(db: Kysely<any>): Promise<void> {
  await db.transaction().execute(async (trx) => {
    await createFactTables(trx, {
      shared_device: `${OWN_ID}, name text not null, key_hash text not null unique`,
      shared_device_end: `${OWN_ID}, device_id text not null references shared_device (entry_id)`,
    })
    await sql
      .raw(
        `create table short_code (person_id text primary key references person (entry_id), code_hash text not null,
          set_at text not null, misses integer not null default 0) strict`,
      )
      .execute(trx)
  })
}
