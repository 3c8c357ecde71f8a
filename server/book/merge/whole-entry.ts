import { group } from 'd3-array'
import { type Insertable, sql } from 'kysely'
import type { Database } from '../../database/connection.ts'
import { inCode } from '../../database/names.ts'
import type { EntryTable, FactTables } from '../../database/schema.ts'
import { tablesOf } from '../../database/tables-of.ts'
import { hashOfEntry } from '../entry-hash.ts'

export type FactRow = readonly [table: keyof FactTables, row: Record<string, unknown> & { entryId: string }]

/** An entry with all that hangs on it. */
export interface WholeEntry {
  entry: Omit<EntryTable, 'seq'> & { seq: number }
  facts: FactRow[]
}

/** Every entry in the order in which it was written, with its facts; or only those of some ids. */
export async function readBook(db: Database, ids?: readonly string[]): Promise<WholeEntry[]> {
  const facts: FactRow[] = []
  const some = ids && JSON.stringify(ids)
  const among = (column: 'id' | 'entry_id') =>
    some === undefined ? sql<boolean>`true` : sql<boolean>`${sql.ref(column)} in (select value from json_each(${some}))`
  for (const table of await factTables(db)) {
    const rows = await db.selectFrom(table).selectAll().where(among('entry_id')).execute()
    for (const row of rows) facts.push([table, row as FactRow[1]])
  }
  const factsOf = group(facts, ([, row]) => row.entryId)
  const entries = await db.selectFrom('entry').selectAll().where(among('id')).orderBy('seq').execute()
  return entries.map((entry) => ({ entry, facts: factsOf.get(entry.id) ?? [] }))
}

/** Adds an entry of another book to the end of this one, with a hash that fits its new place. */
export async function appendWhole(trx: Database, { entry, facts }: WholeEntry): Promise<string> {
  const last = await trx.selectFrom('entry').select('hash').orderBy('seq', 'desc').limit(1).executeTakeFirst()
  const { seq: _seq, hash: _hash, ...kept } = entry
  const moved = { ...kept, previousHash: last?.hash ?? '' }
  const hash = hashOfEntry(moved, facts)
  await trx
    .insertInto('entry')
    .values({ ...moved, hash })
    .execute()
  for (const [table, row] of facts)
    await trx
      .insertInto(table)
      .values(row as Insertable<FactTables[keyof FactTables]>)
      .execute()
  return hash
}

/** Every table with an `entry_id`, read from the book itself so that none can be forgotten. */
export async function factTables(db: Database): Promise<(keyof FactTables)[]> {
  const tables = await tablesOf(db)
  return tables
    .filter(({ columns }) => columns.some(({ name }) => name === 'entry_id'))
    .map(({ name }) => name)
    .sort()
    .map((name) => inCode(name) as keyof FactTables)
}
