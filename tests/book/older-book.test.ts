import { Migrator } from 'kysely/migration'
import { expect, it } from 'vitest'
import { migrations } from '../../migrations/index.ts'
import { appendEntry } from '../../server/book/entries.ts'
import { verifyBook } from '../../server/book/verify.ts'
import { openDatabase } from '../../server/database/connection.ts'
import { migrateToLatest } from '../../server/database/migrate.ts'

it('a book that an older version wrote is verified as it is, and its chain holds when it is brought up to date', async () => {
  const db = openDatabase(':memory:')
  const migrator = new Migrator({ db, provider: { getMigrations: async () => migrations } })
  await migrator.migrateTo('0015-day')
  await db.transaction().execute(async (trx) => {
    const pen = { trx, writtenBy: 'ada', writtenAt: '2026-06-04T05:00:00.000Z' }
    const person = { number: 1, name: 'Ada', phone: null, sign_in_name: null }
    await appendEntry(pen, { kind: 'person' }, { person: [person as never] }, 'ada')
    const plot = { number: 1, name: 'long strip' }
    await appendEntry(pen, { kind: 'plot' }, { plot: [plot as never] })
  })
  expect(await verifyBook(db)).toMatchObject({ entries: 2, brokenAt: null })
  await migrateToLatest(db)
  expect(await verifyBook(db)).toMatchObject({ entries: 2, brokenAt: null })
  expect(await db.selectFrom('plot').select('name').execute()).toEqual([{ name: 'long strip' }])
  await db.destroy()
})
