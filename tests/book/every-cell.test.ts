import { sql } from 'kysely'
import { beforeAll, describe, expect, it } from 'vitest'
import { appendEntry } from '../../server/book/entries.ts'
import { fitsHash } from '../../server/book/entry-hash.ts'
import { appendWhole, factTables } from '../../server/book/merge/whole-entry.ts'
import { outsideTheChain } from '../../server/book/outside-chain.ts'
import { verifyBook } from '../../server/book/verify.ts'
import type { Database } from '../../server/database/connection.ts'
import { inCode, inFile } from '../../server/database/names.ts'
import type { FactTables } from '../../server/database/schema.ts'
import { tellAttack } from '../attack/times.ts'
import { openEmpty } from '../support/book.ts'

interface Column {
  table: string
  name: string
  kind: string
  notNull: boolean
}

/** What a cell of each kind may be set to behind the book's back. */
const OTHERS: Record<string, unknown[]> = {
  integer: [null, 0, 8, -7, sql`9007199254740994`],
  real: [null, 0, 2.5000000000000004, sql`9e999`, sql`-9e999`],
  text: [null, '', 'Word', 'wordx', sql`'word' || char(0)`, '7'],
  blob: [null, Buffer.alloc(0), Buffer.of(1, 2), 'word', 7],
}
const WRITTEN: Record<string, unknown> = { integer: 7, real: 2.5, text: 'word', blob: Buffer.of(7) }

let columns: Column[]
beforeAll(async () => {
  const db = await bare()
  const found = await sql<Column>`
    select m.name as "table", c.name, lower(c.type) as kind, c."notnull" as not_null
    from sqlite_schema m join pragma_table_info(m.name) c where m.type = 'table'`.execute(db)
  const chained = new Set(['entry', ...(await factTables(db)).map(inFile)])
  columns = found.rows.filter(({ table }) => chained.has(table))
  await db.destroy()
})

describe.each([1, 2])('rule %i of hashing', (rule) => {
  it('shows every cell of every table that was set to another value or to a value of another class', async () => {
    const db = await bookOfEveryTable(rule)
    expect((await verifyBook(db)).brokenAt).toBeNull()
    const [unseen, seen]: [string[], Set<string>] = [[], new Set()]
    let tried = 0
    for (const { table, name, kind } of columns) {
      for (const value of OTHERS[kind]!) {
        const found = await foundAfter(db, table, name, value)
        if (found === false) unseen.push(`${table}.${name} = ${JSON.stringify(value)}`)
        if (found) seen.add(`${table}.${name}`)
        if (found !== null) tried++
      }
    }
    tellAttack('every cell', { columns: columns.length, changes: tried, unseen: unseen.length })
    expect(unseen).toEqual([])
    expect(columns.map(({ table, name }) => `${table}.${name}`).filter((cell) => !seen.has(cell))).toEqual([])
    await db.destroy()
  })
})

describe('the book', () => {
  it('takes nothing in that is not finite, no half of a whole number, and no text with a zero byte', async () => {
    const db = await bare()
    const write = (weatherDay: object) =>
      db
        .transaction()
        .execute((trx) =>
          appendEntry(
            { trx, writtenBy: 'p', writtenAt: '2026-06-04T05:00:00.000Z' },
            { kind: 'weather-day' },
            { weatherDay: [{ onDate: '2026-06-04', ...weatherDay } as never] },
          ),
        )
    for (const rainMm of [Number.POSITIVE_INFINITY, Number.NaN, '9']) await expect(write({ rainMm })).rejects.toThrow()
    await expect(write({ onDate: 'a\0b', rainMm: 1 })).rejects.toThrow('no text')
    await write({ rainMm: -0 })
    expect((await verifyBook(db)).brokenAt).toBeNull()
    await db.destroy()
  })

  it('names a table that takes values of any kind, and every table outside the chain', async () => {
    const db = await bookOfEveryTable(2)
    expect((await outsideTheChain(db)).filter(({ why }) => !why)).toEqual([])
    await sql`create table purse (coins integer) strict`.execute(db)
    expect((await outsideTheChain(db)).filter(({ why }) => !why)).toEqual([{ table: 'purse', why: null }])
    await sql`create table loose as select * from weir`.execute(db)
    await sql`drop table weir`.execute(db)
    await sql`alter table loose rename to weir`.execute(db)
    expect((await verifyBook(db)).brokenAt).toMatchObject({ id: 'weir', kind: 'table of another make' })
    await db.destroy()
  })
})

async function bare(): Promise<Database> {
  const db = await openEmpty()
  await sql`pragma foreign_keys = off`.execute(db)
  await sql`pragma ignore_check_constraints = on`.execute(db)
  return db
}

/** One entry for each table, with a row in which every cell holds something. */
async function bookOfEveryTable(hashVersion: number): Promise<Database> {
  const db = await bare()
  const head = madeUp('entry')
  const triggers = await sql<{ name: string }>`select name from sqlite_schema where type = 'trigger'`.execute(db)
  await db.transaction().execute(async (trx) => {
    for (const table of await factTables(trx)) {
      const own = { ...head, id: table, formKey: table, hashVersion, seq: 0 }
      await appendWhole(trx, {
        entry: own as never,
        facts: [[table, { ...madeUp(inFile(table)), entryId: table }]],
      })
    }
    for (const { name } of triggers.rows) await sql`drop trigger ${sql.ref(name)}`.execute(trx)
  })
  return db
}

function madeUp(table: string): Record<string, unknown> {
  const own = columns.filter((column) => column.table === table)
  return Object.fromEntries(own.map(({ name, kind }) => [inCode(name), WRITTEN[kind]]))
}

/** Whether the check finds the change, which is then taken back; null where the file itself refuses it. */
async function foundAfter(db: Database, table: string, column: string, value: unknown): Promise<boolean | null> {
  let found: boolean | null = null
  const undone = new Error('taken back')
  await db
    .transaction()
    .execute(async (trx) => {
      const before = await cellOf(trx, table, column)
      await sql`update ${sql.table(table)} set ${sql.ref(column)} = ${value} where rowid = 1`.execute(trx)
      found = before === (await cellOf(trx, table, column)) ? null : await isSeen(trx, table)
      throw undone
    })
    .catch((error) => {
      if (error !== undone && !/^SQLITE_(CONSTRAINT|MISMATCH)/.test(error.code)) throw error
    })
  return found
}

async function cellOf(db: Database, table: string, column: string): Promise<string> {
  const cell = await sql`select ${sql.ref(column)} as cell from ${sql.table(table)} order by rowid limit 1`.execute(db)
  return JSON.stringify(cell.rows)
}

/** Of a fact the check of its own entry is asked, which is what the check of the whole book asks of each. */
async function isSeen(db: Database, table: string): Promise<boolean> {
  if (table === 'entry') return (await verifyBook(db)).brokenAt !== null
  const name = inCode(table) as keyof FactTables
  const entry = await db.selectFrom('entry').selectAll().where('id', '=', name).executeTakeFirstOrThrow()
  const rows = await db.selectFrom(name).selectAll().where('entryId', '=', name).execute()
  return !fitsHash(
    entry,
    rows.map((row) => [name, row]),
  )
}
