import { existsSync, mkdirSync, mkdtempSync, renameSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { setTimeout as wait } from 'node:timers/promises'
import { sql } from 'kysely'
import { loadExample, PASSWORD } from '../../seed/load.ts'
import { openDatabase } from '../../server/database/connection.ts'
import { migrateToLatest } from '../../server/database/migrate.ts'
import { hashPassword } from '../../server/people/password.ts'
import { CHEAP_HASHING } from './hashing.ts'

export const VALLEY_TODAY = '2026-11-25'
const FOLDER = 'COMMONWEIR_TEST_VALLEY'

/** Names a folder for the whole run, in which the first test that asks for the valley puts it for all workers. */
export default function nameValleyFolder(): () => void {
  if (process.env[FOLDER]) return () => {} // Planted changes share one valley, written by the code without them.
  const folder = mkdtempSync(join(tmpdir(), 'commonweir-valley-'))
  process.env[FOLDER] = folder
  return () => rmSync(folder, { recursive: true, force: true })
}

/** The folder of the whole run, which goes with its end. */
export function runFolder(): string {
  return process.env[FOLDER]!
}

/** The file of the loaded example valley: loaded once for the whole run, and only when a test asks for it. */
export function valleyFile(): Promise<string> {
  return onceInRun('valley.sqlite', loadInto)
}

/** A file of the whole run: made by the worker that asks for it first, while others wait for it. */
export async function onceInRun(name: string, make: (part: string) => Promise<void>): Promise<string> {
  const file = join(runFolder(), name)
  if (existsSync(file)) return file
  const mark = `${file}.begun`
  if (isFirst(mark)) await makeOnce(file, make).finally(() => rmSync(mark, { recursive: true }))
  else while (existsSync(mark)) await wait(100)
  return file
}

async function makeOnce(file: string, make: (part: string) => Promise<void>): Promise<void> {
  // Another worker may have made it since it was looked for.
  if (existsSync(file)) return
  await make(`${file}.part`)
  renameSync(`${file}.part`, file)
}

function isFirst(mark: string): boolean {
  try {
    mkdirSync(mark)
    return true
  } catch {
    return false
  }
}

/** In memory, where no disk is waited for after each of its entries. */
async function loadInto(file: string): Promise<void> {
  const db = openDatabase(':memory:')
  await migrateToLatest(db)
  await loadExample(db, { today: VALLEY_TODAY, passwordHash: await hashPassword(PASSWORD, CHEAP_HASHING) })
  await sql`vacuum into ${sql.lit(file)}`.execute(db)
  await db.destroy()
}
