import { existsSync, renameSync, rmSync } from 'node:fs'
import { sql } from 'kysely'
import { PASSWORD } from '../../../seed/load.ts'
import { openDatabase } from '../../../server/database/connection.ts'
import { migrateToLatest } from '../../../server/database/migrate.ts'
import { hashPassword } from '../../../server/people/password.ts'
import { CHEAP_HASHING } from '../../support/hashing.ts'
import { VALLEY_TODAY } from '../../support/load-valley.ts'
import { liveSeasons, type Size } from './seasons.ts'

/** The file of a book of this size, written through the stores; one that stands there already is taken away first. */
export async function bookOfSize(file: string, size: Size, told: (season: number, ms: number) => void): Promise<void> {
  const part = `${file}.part`
  for (const left of [part, `${part}-wal`, `${part}-shm`]) if (existsSync(left)) rmSync(left)
  const db = openDatabase(part)
  await migrateToLatest(db)
  const passwordHash = await hashPassword(PASSWORD, CHEAP_HASHING)
  await liveSeasons(db, { ...size, today: VALLEY_TODAY, passwordHash }, told)
  await sql`pragma journal_mode = delete`.execute(db) // A copy in memory cannot read a file that keeps a log beside it.
  await db.destroy()
  renameSync(part, file)
}
