import type { Kysely } from 'kysely'

/** A session on a shared device ends when nobody has opened a page for a while. */
export async function up(db: Kysely<unknown>): Promise<void> {
  await db.schema.alterTable('session').addColumn('idle_minutes', 'integer').execute()
  await db.schema.alterTable('session').addColumn('seen_at', 'text').execute()
}
