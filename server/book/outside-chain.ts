import { sql } from 'kysely'
import type { Database } from '../database/connection.ts'
import { KINDS } from '../database/kinds/kinds.ts'
import { isPostgres, tablesOf } from '../database/tables-of.ts'

/** Tables of the file that no hash of an entry covers, and why none has to. */
const OUTSIDE: Record<string, string> = {
  session: 'who is signed in',
  sheet_opened: 'who first opened the sheet of a published week',
  password_apart: 'hashes of passwords, of which the chain has the digest',
  short_code: 'codes of registered devices, hashed, with the misses since they last fitted',
  kept_aside: 'what was typed when a sign-in ran out',
  door_try: 'tries at the door and refusals behind it',
  one_time_code: 'printed codes, hashed, of which each opens once',
  joining: 'a mark while two books are being joined',
  parted_book: 'chains of joined books, which have hashes of their own',
  parted_line: 'chains of joined books, which have hashes of their own',
  kysely_migration: 'which steps the file has taken',
  kysely_migration_lock: 'a mark while steps are taken',
}

/** Every table beside the entries and their facts; `why` is null for one that the program does not know. */
export async function outsideTheChain(db: Database): Promise<{ table: string; why: string | null }[]> {
  const tables = await tablesOf(db)
  return tables
    .filter(({ name, columns }) => name !== 'entry' && !columns.some((column) => column.name === 'entry_id'))
    .map(({ name }) => ({ table: name, why: OUTSIDE[name] ?? null }))
}

/** The first table whose columns hold something else than the program declares, or take values of any kind; null if none. */
export async function tableOfAnotherMake(db: Database): Promise<string | null> {
  const tables = await tablesOf(db)
  const loose = new Set(await looseTables(db))
  for (const { name, columns } of tables) {
    const declared = KINDS.get(name)
    if (!declared || name.startsWith('kysely_')) continue
    const other = columns.some((column) => declared.get(column.name) !== column.kind)
    if (other || loose.has(name)) return name
  }
  return null
}

/** A table that is not strict takes a word where a figure belongs. */
async function looseTables(db: Database): Promise<string[]> {
  if (isPostgres(db)) return []
  const loose = await sql<{ name: string }>`
    select name from pragma_table_list where schema = 'main' and type = 'table' and strict = 0`.execute(db)
  return loose.rows.map(({ name }) => name)
}
