import { type Database, openDatabase } from '../../../server/database/connection.ts'
import type { KINDS } from '../../../server/database/kinds/kinds.ts'
import { migrateToLatest, migrateUpTo } from '../../../server/database/migrate.ts'
import { tablesOf } from '../../../server/database/tables-of.ts'

/** The last step of the time when entries were hashed by the first rule only (`book/entry-hash.ts`). */
const LAST_OF_FIRST_RULE = '0030-plot-mulch'

/** What each column holds as the program's own steps make it: under the first rule, and now. */
export async function kindsMade(): Promise<{ ofFirstRule: typeof KINDS; now: typeof KINDS }> {
  const empty = openDatabase(':memory:')
  await migrateUpTo(empty, LAST_OF_FIRST_RULE)
  const ofFirstRule = await kindsOf(empty)
  await migrateToLatest(empty)
  const now = await kindsOf(empty)
  await empty.destroy()
  return { ofFirstRule, now }
}

async function kindsOf(db: Database): Promise<typeof KINDS> {
  const tables = await tablesOf(db)
  return new Map(tables.map(({ name, columns }) => [name, new Map(columns.map((own) => [own.name, own.kind]))]))
}
