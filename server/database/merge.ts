import { group } from 'd3-array'
import { sql } from 'kysely'
import { InputError } from '../../domain/input-error.ts'
import type { Database } from './connection.ts'
import { hashOfEntry } from './entry-hash.ts'
import { type Clash, clashesOf } from './merge-clashes.ts'
import type { EntryTable, FactTables } from './schema.ts'

type FactRow = readonly [table: keyof FactTables, row: Record<string, unknown> & { entry_id: string }]

/** An entry with all that hangs on it. */
export interface WholeEntry {
  entry: Omit<EntryTable, 'seq'> & { seq: number }
  facts: FactRow[]
}

export interface Merge {
  /** Entries that only the other book had, now at the end of this one. */
  added: number
  /** Entries that both books have. */
  shared: number
  clashes: Clash[]
}

/**
 * Takes in everything that a second book of the same group wrote by itself. Ids are random, so an entry that both have is
 * kept once; the others go to the end of this book's chain, in the order in which they were written there, unchanged but for
 * their place in it. Merging either way gives the same entries. What both books wrote about is listed for a person to settle.
 */
export async function mergeBook(into: Database, other: Database): Promise<Merge> {
  const [own, theirs] = [await readBook(into), await readBook(other)]
  const known = new Set(own.map(({ entry }) => entry.id))
  if (!theirs.some(({ entry }) => known.has(entry.id))) throw new InputError('merge-other-group')
  const fresh = theirs.filter(({ entry }) => !known.has(entry.id))
  const theirIds = new Set(theirs.map(({ entry }) => entry.id))
  const ownOnly = own.filter(({ entry }) => !theirIds.has(entry.id))
  await into.transaction().execute(async (trx) => {
    // Facts of one entry may name each other in any order; the database checks them when all are there.
    await sql`pragma defer_foreign_keys = on`.execute(trx)
    for (const whole of fresh) await appendWhole(trx, whole)
  })
  return { added: fresh.length, shared: theirs.length - fresh.length, clashes: clashesOf(ownOnly, fresh) }
}

/** Every entry in the order in which it was written, with its facts. */
export async function readBook(db: Database): Promise<WholeEntry[]> {
  const facts: FactRow[] = []
  for (const table of await factTables(db)) {
    const rows = await db.selectFrom(table).selectAll().execute()
    for (const row of rows) facts.push([table, row as FactRow[1]])
  }
  const factsOf = group(facts, ([, row]) => row.entry_id)
  const entries = await db.selectFrom('entry').selectAll().orderBy('seq').execute()
  return entries.map((entry) => ({ entry, facts: factsOf.get(entry.id) ?? [] }))
}

/** Adds an entry of another book to the end of this one, with a hash that fits its new place. */
export async function appendWhole(trx: Database, { entry, facts }: WholeEntry): Promise<void> {
  const last = await trx.selectFrom('entry').select('hash').orderBy('seq', 'desc').limit(1).executeTakeFirst()
  const { seq: _seq, hash: _hash, ...kept } = entry
  const moved = { ...kept, previous_hash: last?.hash ?? '' }
  await trx
    .insertInto('entry')
    .values({ ...moved, hash: hashOfEntry(moved, [...facts]) })
    .execute()
  for (const [table, row] of facts)
    await trx
      .insertInto(table)
      .values(row as never)
      .execute()
}

async function factTables(db: Database): Promise<(keyof FactTables)[]> {
  const tables = await db.introspection.getTables()
  return tables
    .filter((table) => table.columns.some((column) => column.name === 'entry_id'))
    .map((table) => table.name as keyof FactTables)
}
