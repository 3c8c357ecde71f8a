import { type Kysely, sql } from 'kysely'

/** Each entry says by which rule it was hashed; what stands in the book already was hashed by the first. */
export async function up(db: Kysely<unknown>): Promise<void> {
  await sql`alter table entry add column hash_version integer not null default 1 check (hash_version in (1, 2))`.execute(
    db,
  )
}
