import { type Kysely, sql } from 'kysely'

/** The database itself refuses to change or delete a row of these tables. */
export async function makeAppendOnly(db: Kysely<any>, tables: readonly string[]): Promise<void> {
  for (const table of tables) {
    for (const verb of ['update', 'delete']) {
      await sql
        .raw(
          `create trigger ${table}_no_${verb} before ${verb} on ${table}
           begin select raise(abort, '${table} is append-only'); end`,
        )
        .execute(db)
    }
  }
}

/** Creates tables from their column lists, each strict, and makes them append-only. */
export async function createFactTables(db: Kysely<any>, tables: Record<string, string>): Promise<void> {
  for (const [table, columns] of Object.entries(tables)) {
    await sql.raw(`create table ${table} (${columns}) strict`).execute(db)
    if (!/^\s*entry_id text primary key/.test(columns)) {
      await sql.raw(`create index ${table}_by_entry on ${table} (entry_id)`).execute(db)
    }
  }
  await makeAppendOnly(db, Object.keys(tables))
}

/** A column that is the entry's id and the thing's own id at once. */
export const OWN_ID = 'entry_id text primary key references entry (id)'
/** A column for one of several rows of the same entry. */
export const ENTRY = 'entry_id text not null references entry (id)'
