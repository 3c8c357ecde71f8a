import { sql } from 'kysely'
import type { Database } from './connection.ts'
import { hashOfEntry } from './entry-hash.ts'
import type { FactTables } from './schema.ts'

export interface BookCheck {
  entries: number
  /** The first entry whose hash does not fit what stands in the book, if any. */
  brokenAt: { seq: number; id: string; kind: string } | null
}

/** Works the whole chain out again from what the tables hold now. */
export async function verifyBook(db: Database): Promise<BookCheck> {
  const tables = await factTables(db)
  const rows = new Map<string, [string, Record<string, unknown>][]>()
  for (const table of tables) {
    for (const row of await db.selectFrom(table).selectAll().execute()) {
      const list = rows.get(row.entry_id) ?? []
      list.push([table, row])
      rows.set(row.entry_id, list)
    }
  }
  const entries = await db.selectFrom('entry').selectAll().orderBy('seq').execute()
  let previous = ''
  for (const entry of entries) {
    const fits = entry.previous_hash === previous && entry.hash === hashOfEntry({ ...entry }, rows.get(entry.id) ?? [])
    if (!fits) return { entries: entries.length, brokenAt: { seq: entry.seq, id: entry.id, kind: entry.kind } }
    previous = entry.hash
    rows.delete(entry.id)
  }
  const stray = [...rows.keys()][0]
  return { entries: entries.length, brokenAt: stray ? { seq: 0, id: stray, kind: 'fact without an entry' } : null }
}

/** Every table with an `entry_id`, read from the file itself so that none can be forgotten. */
async function factTables(db: Database): Promise<(keyof FactTables)[]> {
  const tables = await db.introspection.getTables()
  return tables
    .filter((table) => table.columns.some((column) => column.name === 'entry_id'))
    .map((table) => table.name as keyof FactTables)
}

/** True when the database file itself is sound, whatever stands in it. */
export async function fileIsSound(db: Database): Promise<boolean> {
  const result = await sql<{ integrity_check: string }>`pragma integrity_check`.execute(db)
  return result.rows[0]?.integrity_check === 'ok'
}
