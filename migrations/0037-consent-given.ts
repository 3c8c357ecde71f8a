import { type Kysely, sql } from 'kysely'

/** A consent written in for somebody else says how it was given; older ones do not tell. */
export async function up(db: Kysely<unknown>): Promise<void> {
  await sql`alter table swap_consent add column given text check (given in ('present', 'message', 'ticket'))`.execute(
    db,
  )
}
