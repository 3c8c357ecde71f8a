import { PostgresAdapter, sql } from 'kysely'
import type { Database } from './connection.ts'

/** What a column holds. */
export type Kind = 'integer' | 'real' | 'text' | 'blob'

export function isPostgres(db: Database): boolean {
  return db.getExecutor().adapter instanceof PostgresAdapter
}

interface Column {
  name: string
  kind: Kind
}

/** What a column is called where it is kept, by its kind. */
const KINDS: Record<string, Kind> = { int8: 'integer', float8: 'real', text: 'text', bytea: 'blob' }

/** The tables of a book with their columns, in the order in which they were made; the steps that it has taken are told too. */
export async function tablesOf(db: Database): Promise<{ name: string; columns: Column[] }[]> {
  const tables = await db.introspection.getTables({ withInternalKyselyTables: true })
  const own = isPostgres(db) ? await ownSchema(db) : undefined
  return tables
    .filter(({ schema }) => own === undefined || schema === own)
    .map(({ name, columns }) => ({
      name,
      columns: columns
        .filter((column) => own === undefined || column.name !== 'rowid')
        .map((column) => ({
          name: column.name,
          kind: KINDS[column.dataType] ?? (column.dataType.toLowerCase() as Kind),
        })),
    }))
}

/** The group's own schema, where a server keeps many. */
export async function ownSchema(db: Database): Promise<string> {
  const { rows } = await sql<{ schema: string }>`select current_schema() as schema`.execute(db)
  return rows[0]!.schema
}
