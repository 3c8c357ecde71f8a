import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import SqliteDatabase from 'better-sqlite3'
import fc from 'fast-check'
import { CompiledQuery, sql } from 'kysely'
import { afterAll, describe, expect, it } from 'vitest'
import { askTogether } from '../../server/book/register/together.ts'
import { askWith, type Database, openDatabase } from '../../server/database/connection.ts'

const folder = mkdtempSync(join(tmpdir(), 'commonweir-rows-'))
afterAll(() => rmSync(folder, { recursive: true }))

const QUESTIONS = [
  'select * from weir order by name',
  'select count(*) as many from weir',
  'select weir.name, pump.flow from pump join weir on weir.name = pump.weir order by flow',
  'select * from pump where flow > (select avg(flow) from pump) order by flow',
  'with strong as (select * from pump where flow > 5) select count(*) as many from strong',
]

/** Each does something to the book, by this program or by another one. */
const ACTS: Record<string, (book: Book) => Promise<unknown>> = {
  weir: ({ db, next }) => all(db, `insert into weir values ('weir ${next}')`),
  pump: ({ db, next }) => all(db, `insert into pump (weir, flow) values ('weir ${next % 3}', ${next % 11})`),
  change: ({ db, next }) => all(db, `update pump set flow = flow + ${next}`),
  strike: ({ db, next }) => all(db, `delete from weir where name = 'weir ${next - 2}'`),
  returning: ({ db, next }) => all(db, `insert into pump (weir, flow) values ('weir 1', ${next}) returning flow`),
  refused: ({ db }) => all(db, "insert into weir values ('first')").catch(() => undefined),
  'taken back': async (book) => {
    const { db, next } = book
    const work = async (trx: Database) => {
      await all(trx, `insert into pump (weir, flow) values ('first', ${next})`)
      await expectTruth(book, trx)
      throw new Error('taken back')
    }
    await db
      .transaction()
      .execute(work)
      .catch(() => undefined)
  },
  'to the end': async (book) => {
    await book.db.transaction().execute(async (trx) => {
      await all(trx, `insert into pump (weir, flow) values ('first', ${book.next})`)
      await expectTruth(book, trx)
    })
  },
  elsewhere: async ({ other, next }) => void other.exec(`insert into pump (weir, flow) values ('first', ${next})`),
  together: async ({ db }) => {
    const [own, ...others] = QUESTIONS.map((text) => ({ sql: text, parameters: [] }))
    askWith(db, own!, () => others)
  },
  column: ({ db, next }) => all(db, `alter table pump add column c${next} integer default ${next}`),
}

interface Book {
  db: Database
  other: SqliteDatabase.Database
  next: number
}

const all = async (db: Database, text: string) => (await sql.raw<Record<string, unknown>>(text).execute(db)).rows

/** Asked once and again, each question is answered as by a connection that keeps nothing. */
async function expectTruth({ other }: Book, db: Database, truth = (text: string) => other.prepare(text).all()) {
  for (const text of QUESTIONS) {
    const first = await all(db, text)
    expect(await all(db, text), text).toEqual(first)
    if (!db.isTransaction) expect(first, text).toEqual(truth(text))
    // What is not written to the end yet, another connection cannot see: a question in other words is no kept one.
    else expect(first, text).toEqual(await all(db, `${text} ${' '.repeat(1 + Math.floor(times++ % 5000))}`))
  }
}
let times = 0

const asked = <R>(compiled: CompiledQuery<R>) => ({ compile: () => compiled })

describe('a question that was asked before', () => {
  it('is answered as if nothing were kept, whatever was written since and by whom', async () => {
    let books = 0
    await fc.assert(
      fc.asyncProperty(fc.array(fc.constantFrom(...Object.keys(ACTS)), { maxLength: 12 }), async (acts) => {
        const file = join(folder, `${books++}.sqlite`)
        const db = openDatabase(file)
        await all(db, 'create table weir (name text primary key)')
        await all(db, 'create table pump (weir text, flow integer)')
        await all(db, "insert into weir values ('first')")
        const book = { db, other: new SqliteDatabase(file), next: 1 }
        for (const act of acts) {
          await expectTruth(book, db)
          await ACTS[act]!(book)
          book.next++
        }
        await expectTruth(book, db)
        await db.destroy()
        book.other.close()
      }),
      { numRuns: 40 },
    )
  })

  it('is read once, until something is written into a table that it names', async () => {
    const told: string[] = []
    const db = openDatabase(':memory:', (text) => told.push(text))
    await all(db, 'create table weir (name text)')
    await all(db, 'create table pump (flow integer)')
    const ask = async () => {
      told.length = 0
      const rows = await all(db, 'select * from weir')
      return { rows, read: told.length }
    }
    expect(await ask()).toEqual({ rows: [], read: 1 })
    expect(await ask()).toEqual({ rows: [], read: 0 })
    await all(db, 'insert into pump values (1)')
    expect(await ask()).toEqual({ rows: [], read: 0 })
    await all(db, "insert into weir values ('Bend')")
    expect(await ask()).toEqual({ rows: [{ name: 'Bend' }], read: 1 })
    const [row] = await all(db, 'select * from weir')
    row!.name = 'changed by whoever asked'
    expect(await ask()).toEqual({ rows: [{ name: 'Bend' }], read: 0 })
  })

  it('is read with others in one statement, and each is answered apart: its order, its decimals and what is not there', async () => {
    const told: string[] = []
    const db = openDatabase(':memory:', (text) => told.push(text))
    await all(db, 'create table weir (name text, crest real)')
    await all(db, 'create table pump (flow integer)')
    await all(db, "insert into weir values ('Bend', 0.1), ('Fig tree', 3.0000000000000004), ('Acacia', null)")
    await all(db, 'insert into pump values (7), (9), (8)')
    const weirs = "select name, crest, name || '!' as called from weir order by name desc"
    const pumps = 'select flow from pump where flow > ? order by flow limit ?'
    told.length = 0
    askWith(db, { sql: weirs, parameters: [] }, () => [
      { sql: pumps, parameters: [7, 1] },
      { sql: pumps, parameters: [10, 1] },
    ])
    expect(told).toHaveLength(1)
    const asked = (text: string, parameters: number[]) =>
      db.executeQuery<Record<string, unknown>>(CompiledQuery.raw(text, parameters))
    expect((await asked(weirs, [])).rows).toEqual([
      { name: 'Fig tree', crest: 3.0000000000000004, called: 'Fig tree!' },
      { name: 'Bend', crest: 0.1, called: 'Bend!' },
      { name: 'Acacia', crest: null, called: 'Acacia!' },
    ])
    expect((await asked(pumps, [7, 1])).rows).toEqual([{ flow: 8 }])
    expect((await asked(pumps, [10, 1])).rows).toEqual([])
    expect(told).toHaveLength(1)
    // Each goes when its own table is written into, and the others stay.
    await all(db, 'insert into pump values (11)')
    told.length = 0
    expect((await asked(weirs, [])).rows).toHaveLength(3)
    expect([(await asked(pumps, [10, 1])).rows, told]).toEqual([[{ flow: 11 }], [pumps]])
    await db.destroy()
  })

  it('is read with others also where its answer is too large to be kept, and once; apart where they name more than one statement takes', async () => {
    const told: string[] = []
    const db = openDatabase(':memory:', (text) => told.push(text))
    await all(db, 'create table weir (name text)')
    const names = 'with recursive n(i) as (select 1 union all select i + 1 from n where i < 42000) select i from n'
    await all(db, `insert into weir ${names}`)
    const [large, small] = ['select name from weir', "select name from weir where name in ('1', '2')"]
    const ask = async (...texts: string[]) => {
      told.length = 0
      const answers = await askTogether(
        db,
        ...texts.map((text) => sql.raw<{ name: string }>(text).compile(db)).map(asked),
      )
      return [...answers.map(({ length }) => length), told.length]
    }
    expect(await ask(large, small)).toEqual([42_000, 2, 1])
    expect(await ask(large, small)).toEqual([42_000, 2, 1])
    expect(await ask(large, `${large} limit 1`)).toEqual([42_000, 1, 1])
    const many = (at: number) => ({
      ...sql.raw(`select ${at} as at where 1 in (${Array.from({ length: 20_000 }, () => '?')})`).compile(db),
      parameters: Array.from({ length: 20_000 }, (_, one) => one),
    })
    told.length = 0
    expect(await askTogether(db, asked(many(1)), asked(many(2)))).toEqual([[{ at: 1 }], [{ at: 2 }]])
    expect(told).toHaveLength(2)
    await db.destroy()
  })

  it('is kept in bounds: no answer that is too large, and of too many the one that was asked longest ago goes first', async () => {
    const told: string[] = []
    const db = openDatabase(':memory:', (text) => told.push(text))
    await all(db, 'create table weir (name text)')
    const names = 'with recursive n(i) as (select 1 union all select i + 1 from n where i < 42000) select i from n'
    await all(db, `insert into weir ${names}`)
    const isRead = async (text: string) => {
      told.length = 0
      await all(db, text)
      return told.length > 0
    }
    const large = 'select * from weir'
    expect([await isRead(large), await isRead(large)]).toEqual([true, true])
    // One field of two million letters takes the room of many.
    const long = 'select hex(zeroblob(1100000)) as name'
    expect([await isRead(long), await isRead(long)]).toEqual([true, true])
    const part = (at: number) => `select * from weir limit 39000 offset ${at}`
    for (let at = 0; at < 8; at++) await isRead(part(at))
    expect([await isRead(part(7)), await isRead(part(1)), await isRead(part(0))]).toEqual([false, false, true])
    const small = (at: number) => `select 1 as one where 1 = ${at}`
    for (let at = 0; at < 2001; at++) await isRead(small(at))
    expect([await isRead(small(2000)), await isRead(small(0))]).toEqual([false, true])
    await db.destroy()
  })
})
