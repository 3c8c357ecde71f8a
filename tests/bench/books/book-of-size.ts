import { existsSync, rmSync } from 'node:fs'
import { sql } from 'kysely'
import { PASSWORD } from '../../../seed/load.ts'
import { type Database, openDatabase } from '../../../server/database/connection.ts'
import { migrateToLatest } from '../../../server/database/migrate.ts'
import { hashPassword } from '../../../server/people/password.ts'
import { CHEAP_HASHING } from '../../support/hashing.ts'
import { VALLEY_TODAY } from '../../support/load-valley.ts'
import { liveSeasons, type Size } from './seasons.ts'

type Told = (season: number, ms: number) => void

/** The file of a book of this size; one that stands there already is taken away first. */
export async function bookOfSize(file: string, size: Size, told: Told): Promise<void> {
  for (const left of [file, `${file}-wal`, `${file}-shm`]) if (existsSync(left)) rmSync(left)
  const db = await writtenBook(size, told)
  await sql`vacuum into ${sql.lit(file)}`.execute(db)
  await db.destroy()
}

/** A book of this size, written through the stores, in memory: no disk is waited for after each of its entries. */
export async function writtenBook(size: Size, told: Told): Promise<Database> {
  const db = openDatabase(':memory:')
  await migrateToLatest(db)
  const passwordHash = await hashPassword(PASSWORD, CHEAP_HASHING)
  await liveSeasons(db, { ...size, today: VALLEY_TODAY, passwordHash }, told)
  return db
}
