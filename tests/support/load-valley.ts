import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { sql } from 'kysely'
import { loadExample, PASSWORD } from '../../seed/load.ts'
import { openDatabase } from '../../server/database/connection.ts'
import { migrateToLatest } from '../../server/database/migrate.ts'
import { hashPassword } from '../../server/people/session/password.ts'
import { CHEAP_HASHING } from './hashing.ts'

export const VALLEY_TODAY = '2026-11-25'
/** Names the file that holds the loaded valley, for every worker. */
export const VALLEY_FILE = 'COMMONWEIR_TEST_VALLEY'

/** Loads the example valley once for the whole run; each test then opens a copy of it in memory. */
export default async function loadValley(): Promise<() => void> {
  const folder = mkdtempSync(join(tmpdir(), 'commonweir-valley-'))
  const file = join(folder, 'valley.sqlite')
  const db = openDatabase(file)
  await migrateToLatest(db)
  await loadExample(db, { today: VALLEY_TODAY, passwordHash: await hashPassword(PASSWORD, CHEAP_HASHING) })
  await sql`pragma journal_mode = delete`.execute(db) // A copy in memory cannot read a file that keeps a log beside it.
  await db.destroy()
  process.env[VALLEY_FILE] = file
  return () => rmSync(folder, { recursive: true })
}
