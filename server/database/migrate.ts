import { Migrator } from 'kysely/migration'
import { migrations } from '../../migrations/index.ts'
import type { Database } from './connection.ts'

/** Brings the book up to the newest shape; throws with the cause when a step fails. */
export async function migrateToLatest(db: Database): Promise<void> {
  const migrator = new Migrator({ db, provider: { getMigrations: async () => migrations } })
  const { error } = await migrator.migrateToLatest()
  if (error) throw error
}
