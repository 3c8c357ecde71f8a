import { type Kysely, sql } from 'kysely'

/** Hashes of passwords, beside the chain from now on: the chain has their digest. */
export async function up(db: Kysely<unknown>): Promise<void> {
  await sql`create table password_apart (
    credential_id text primary key references credential (entry_id), password_hash text not null) strict`.execute(db)
}
