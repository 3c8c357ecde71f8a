import { type Database, openDatabase } from './connection.ts'
import { migrateToLatest, migrateUpTo } from './migrate.ts'
import { type Kind, tablesOf } from './tables-of.ts'

/** By table and column, as they are called in the file. */
type Kinds = ReadonlyMap<string, ReadonlyMap<string, Kind>>

/** The last step of the time when entries were hashed by the first rule only (`book/entry-hash.ts`). */
const LAST_OF_FIRST_RULE = '0030-plot-mulch'

let declared: Promise<{ kinds: Kinds; ofFirstRule: Kinds }> | undefined

/** What each column holds as the program's own steps declare it, whatever a file says of itself: now, and under the first rule. */
export function declaredKinds(): Promise<{ kinds: Kinds; ofFirstRule: Kinds }> {
  declared ??= readDeclared()
  return declared
}

async function readDeclared() {
  const empty = openDatabase(':memory:')
  await migrateUpTo(empty, LAST_OF_FIRST_RULE)
  const ofFirstRule = await kindsOf(empty)
  await migrateToLatest(empty)
  const kinds = await kindsOf(empty)
  await empty.destroy()
  return { kinds, ofFirstRule }
}

async function kindsOf(db: Database): Promise<Kinds> {
  const tables = await tablesOf(db)
  return new Map(tables.map(({ name, columns }) => [name, new Map(columns.map((own) => [own.name, own.kind]))]))
}
