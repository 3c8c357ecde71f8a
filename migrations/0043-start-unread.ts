import { type Kysely, sql } from 'kysely'

/** A start that nobody read stands on the last closing and bears nothing out; older lines do not say which theirs were. */
export async function up(db: Kysely<unknown>): Promise<void> {
  await sql`alter table draw_note add column start_unread integer check (start_unread in (0, 1))`.execute(db)
}
