import { sql } from 'kysely'
import { type Database, openDatabase } from './connection.ts'
import { migrateUpTo } from './migrate.ts'

/** What a file is made of: each table, index, trigger and view by its kind and name, with the words that made it. */
type Make = ReadonlyMap<string, string>

const makes = new Map<string, Promise<Make>>()

/** What the program's own steps make of a new file, up to one of them. */
export function makeAfter(step: string): Promise<Make> {
  const known = makes.get(step) ?? readMakeAfter(step)
  makes.set(step, known)
  return known
}

async function readMakeAfter(step: string): Promise<Make> {
  const empty = openDatabase(':memory:')
  await migrateUpTo(empty, step)
  const make = await makeOf(empty)
  await empty.destroy()
  return make
}

/** What SQLite made for itself is left out: nobody else can name a thing so. */
export async function makeOf(db: Database): Promise<Make> {
  const { rows } = await sql<{ type: string; name: string; words: string }>`
    select type, name, sql as words from sqlite_schema where name not like 'sqlite\\_%' escape '\\'`.execute(db)
  return new Map(rows.map(({ type, name, words }) => [`${type} ${name}`, plain(words ?? '')]))
}

/** White space and quotation marks say nothing. */
function plain(words: string): string {
  return words.replaceAll('"', '').replace(/\s+/g, ' ').trim()
}
