import { type Migration, Migrator } from 'kysely/migration'
import { describe, expect, it } from 'vitest'
import { migrations } from '../../migrations/index.ts'
import { hashOfEntry } from '../../server/book/entry-hash.ts'
import type { FactRow } from '../../server/book/merge/whole-entry.ts'
import { verifyBook } from '../../server/book/verify.ts'
import { type Database, openDatabase } from '../../server/database/connection.ts'
import { migrateToLatest } from '../../server/database/migrate.ts'

/** The steps as they were named until November 2026, when a number was missing and another stood twice. */
const OLD_NAMES: Record<string, string> = {
  '0016-day-after': '0017-day-after',
  '0017-paper': '0018-paper',
  '0018-works': '0019-works',
  '0019-missed-turns': '0020-missed-turns',
}
const oldSteps = Object.fromEntries(Object.entries(migrations).map(([name, step]) => [OLD_NAMES[name] ?? name, step]))

describe('a book that an older version wrote', () => {
  it('is verified as it is, and its chain holds when it is brought up to date', async () => {
    const db = await bookUpTo('0015-day', migrations)
    await writeTwoEntries(db)
    expect(await verifyBook(db)).toMatchObject({ entries: 2, brokenAt: null })
    await migrateToLatest(db)
    expect(await verifyBook(db)).toMatchObject({ entries: 2, brokenAt: null })
    expect(await db.selectFrom('plot').select('name').execute()).toEqual([{ name: 'long strip' }])
    await db.destroy()
  })

  // Before the first renamed step, at each of them, at the number that stood twice, and after all.
  it.each(['0015-day', '0017-day-after', '0019-works', '0020-missed-turns', '0020-reserve', '0024-turn-lengths'])(
    'opens under the old names of its steps, up to %s, and takes the rest',
    async (last) => {
      const db = await bookUpTo(last, oldSteps)
      await writeTwoEntries(db)
      expect((await takenSteps(db)).at(-1)).toBe(last)
      expect(await verifyBook(db)).toMatchObject({ entries: 2, brokenAt: null })

      await migrateToLatest(db)
      expect(await takenSteps(db)).toEqual(Object.keys(migrations))
      expect(await shapeOf(db)).toEqual(await shapeOf(await bookUpTo(Object.keys(migrations).at(-1)!, migrations)))
      expect(await verifyBook(db)).toMatchObject({ entries: 2, brokenAt: null })
      expect(await db.selectFrom('plot').select('name').execute()).toEqual([{ name: 'long strip' }])

      await migrateToLatest(db)
      expect(await takenSteps(db)).toEqual(Object.keys(migrations))
      await db.destroy()
    },
  )
})

async function bookUpTo(last: string, steps: Record<string, Migration>): Promise<Database> {
  const db = openDatabase(':memory:')
  const { error } = await new Migrator({ db, provider: { getMigrations: async () => steps } }).migrateTo(last)
  if (error) throw error
  return db
}

/** Written as older versions wrote: an entry had no field for the rule of its hash. */
async function writeTwoEntries(db: Database): Promise<void> {
  await db.transaction().execute(async (trx) => {
    const person = { entryId: 'ada', number: 1, name: 'Ada', phone: null, signInName: null }
    const first = await writeOld(trx, 'ada', '', ['person', person])
    await writeOld(trx, 'strip', first, ['plot', { entryId: 'strip', number: 1, name: 'long strip' }])
  })
}

async function writeOld(db: Database, id: string, previousHash: string, fact: FactRow): Promise<string> {
  const at = '2026-06-04T05:00:00.000Z'
  const nothing = { forPersonId: null, correctsId: null, reason: null, paperPage: null, paperRow: null }
  const form = { formKey: null, formDigest: null, formAnswer: null }
  const own = { id, kind: fact[0], happenedAt: at, writtenAt: at, writtenBy: 'ada', ...nothing, ...form, previousHash }
  const hash = hashOfEntry(own, [fact])
  await db
    .insertInto('entry')
    .values({ ...own, hash } as never)
    .execute()
  await db
    .insertInto(fact[0])
    .values(fact[1] as never)
    .execute()
  return hash
}

async function takenSteps(db: Database): Promise<string[]> {
  const taken = await db
    .withTables<{ kysely_migration: { name: string } }>()
    .selectFrom('kysely_migration')
    .select('name')
    .orderBy('name')
    .execute()
  return taken.map(({ name }) => name)
}

/** The tables with their columns, as they stand in the file. */
async function shapeOf(db: Database): Promise<string[]> {
  const tables = await db.introspection.getTables()
  return tables
    .flatMap(({ name, columns }) => columns.map((column) => `${name}.${column.name} ${column.dataType}`))
    .sort()
}
