import { group } from 'd3-array'
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

interface Table {
  name: string
  columns: Column[]
}

/** The tables and views of a book with their columns, by name; the steps that it has taken are told too. */
export function tablesOf(db: Database): Promise<Table[]> {
  return isPostgres(db) ? tablesOnServer(db) : tablesInFile(db)
}

/** One question for all: Kysely's own answer to it says much more of each column, and takes many times as long. */
async function tablesInFile(db: Database): Promise<Table[]> {
  const { rows } = await sql<{ place: string; name: string; kind: string }>`
    select made.name as place, held.name, lower(held.type) as kind
    from sqlite_schema as made join pragma_table_info(made.name) as held
    where made.type in ('table', 'view') and made.name not like 'sqlite_%'
    order by made.name, held.cid`.execute(db)
  const columnsOf = group(rows, ({ place }) => place)
  return [...columnsOf].map(([name, columns]) => ({
    name,
    columns: columns.map((column) => ({ name: column.name, kind: column.kind as Kind })),
  }))
}

async function tablesOnServer(db: Database): Promise<Table[]> {
  const tables = await db.introspection.getTables({ withInternalKyselyTables: true })
  const own = await ownSchema(db)
  return tables
    .filter(({ schema }) => schema === own)
    .map(({ name, columns }) => ({
      name,
      columns: columns
        .filter((column) => column.name !== 'rowid')
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
