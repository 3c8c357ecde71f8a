import { type Kysely, sql } from 'kysely'

/** Beside the chain: printed codes, hashed, of which each opens the door once after the password. */
export async function up(db: Kysely<any>): Promise<void> {
  await sql
    .raw(
      `create table one_time_code (code_hash text primary key, person_id text not null references person (entry_id),
        used_at text) strict`,
    )
    .execute(db)
}
