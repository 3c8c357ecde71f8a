import { createHash, randomBytes } from 'node:crypto'
import pg from 'pg'
import { type Database, openDatabase } from '../../../server/database/connection.ts'
import { migrateToLatest } from '../../../server/database/migrate.ts'
import { carryBook } from '../../../server/database/postgres/carry.ts'
import { openPostgres } from '../../../server/database/postgres/connection.ts'
import { openHeldBook } from '../../../server/database/postgres/open-book.ts'

/** Where tests find the server that `npm run test:postgres` started; books stay in memory where it is not named. */
const SERVER = process.env.TEST_POSTGRES

export const onPostgres = SERVER !== undefined

export const placeOn = (database: string, schema?: string) =>
  `${SERVER!.replace('/postgres?', `/${database}?`)}${schema ? `&schema=${schema}` : ''}`

const patterns = new Map<string, Promise<string>>()

/** A book of its own on the server, empty or as one that was kept in a file: copied from a pattern that is made once. */
export async function bookOnPostgres(kept?: Buffer): Promise<Database> {
  const key = kept ? createHash('sha256').update(kept).digest('hex').slice(0, 16) : 'empty'
  const pattern = patterns.get(key) ?? makePattern(key, kept)
  patterns.set(key, pattern)
  const name = `book_${randomBytes(6).toString('hex')}`
  await ask(`create database ${name} template ${await pattern} strategy file_copy`)
  return openPostgres(placeOn(name), 'commonweir_writer')
}

async function makePattern(key: string, kept?: Buffer): Promise<string> {
  const name = `pattern_${key}_${randomBytes(3).toString('hex')}`
  await ask(`create database ${name}`)
  const there = await openHeldBook(placeOn(name))
  if (kept) {
    const file = openDatabase(kept)
    await migrateToLatest(file)
    await carryBook(file, there.db)
    await file.destroy()
  }
  await there.close()
  return name
}

async function ask(statement: string): Promise<void> {
  const client = new pg.Client({ connectionString: placeOn('postgres') })
  await client.connect()
  await client.query(statement).finally(() => client.end())
}
