import { sql } from 'kysely'
import { beforeEach, describe, expect, it } from 'vitest'
import { type Database, openDatabase } from '../../server/database/connection.ts'

let db: Database
const all = (text: string) => sql.raw<Record<string, unknown>>(text).execute(db)
const rows = async (text: string) => (await all(text)).rows

beforeEach(async () => {
  db = openDatabase(':memory:')
  await all('create table weir (name text)')
  await all("insert into weir values ('Fig tree')")
})

describe('a question that is asked again', () => {
  it('is answered from what stands now', async () => {
    expect(await rows('select * from weir')).toEqual([{ name: 'Fig tree' }])
    await all("insert into weir values ('Bend')")
    expect(await rows('select * from weir')).toEqual([{ name: 'Fig tree' }, { name: 'Bend' }])
  })

  it('reads the column that a migration added, and none that it took away', async () => {
    await rows('select * from weir')
    await all('alter table weir add column crest real default 2')
    expect(await rows('select * from weir')).toEqual([{ name: 'Fig tree', crest: 2 }])
    await all('alter table weir drop column name')
    expect(await rows('select * from weir')).toEqual([{ crest: 2 }])
  })

  it('is answered the same after more other questions than are kept', async () => {
    for (let at = 0; at < 1000; at += 1) expect(await rows(`select ${at} as at from weir`)).toEqual([{ at }])
    expect(await rows('select * from weir')).toEqual([{ name: 'Fig tree' }])
  })
})

it('holds four megabytes of its file at most, and what else was read is the system’s to keep', async () => {
  expect(await rows('pragma cache_size')).toEqual([{ cacheSize: -4000 }])
})
