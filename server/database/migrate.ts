import { DEFAULT_MIGRATION_TABLE, Migrator } from 'kysely/migration'
import { migrations } from '../../migrations/index.ts'
import type { Database } from './connection.ts'
import { isPostgres, ownSchema, tablesOf } from './tables-of.ts'

/** Steps that were renumbered, so that no number is missing or stands twice: the names that older books noted, and those of today. */
const RENAMED = [
  ['0017-day-after', '0016-day-after'],
  ['0018-paper', '0017-paper'],
  ['0019-works', '0018-works'],
  ['0020-missed-turns', '0019-missed-turns'],
] as const

/** Brings the book up to the newest shape; throws with the cause when a step fails. */
export async function migrateToLatest(db: Database): Promise<void> {
  await renameSteps(db)
  const { error } = await (await migratorOf(db)).migrateToLatest()
  if (error) throw error
}

/** Takes a new book as far as one step, to see how older versions were made. */
export async function migrateUpTo(db: Database, step: string): Promise<void> {
  const { error } = await (await migratorOf(db)).migrateTo(step)
  if (error) throw error
}

/**
 * Which steps a file has taken, by their names of today; none where it keeps no list of them. They should be the first of
 * those that the program knows.
 */
export async function stepsOf(db: Database): Promise<{ taken: string[]; known: string[] }> {
  const known = Object.keys(migrations)
  const tables = await tablesOf(db)
  if (!tables.some(({ name }) => name === DEFAULT_MIGRATION_TABLE)) return { taken: [], known }
  const rows = await db
    .withTables<{ [DEFAULT_MIGRATION_TABLE]: { name: string } }>()
    .selectFrom(DEFAULT_MIGRATION_TABLE)
    .select('name')
    .execute()
  const today = new Map<string, string>(RENAMED)
  return { taken: rows.map(({ name }) => today.get(name) ?? name).sort(), known }
}

/** Each step opens its own transaction, on either engine. */
async function migratorOf(db: Database): Promise<Migrator> {
  const migrationTableSchema = isPostgres(db) ? await ownSchema(db) : undefined
  return new Migrator({
    db,
    provider: { getMigrations: async () => migrations },
    migrationTableSchema,
    disableTransactions: true,
  })
}

/** Kysely notes by name which steps a book has taken, and refuses one whose name it does not find. */
async function renameSteps(db: Database): Promise<void> {
  const tables = await tablesOf(db)
  if (!tables.some(({ name }) => name === DEFAULT_MIGRATION_TABLE)) return
  const names = db.withTables<{ [DEFAULT_MIGRATION_TABLE]: { name: string } }>()
  await names.transaction().execute(async (trx) => {
    for (const [old, name] of RENAMED)
      await trx.updateTable(DEFAULT_MIGRATION_TABLE).set({ name }).where('name', '=', old).execute()
  })
}
