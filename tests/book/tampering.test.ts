import { type RawBuilder, sql } from 'kysely'
import { beforeAll, describe, expect, it } from 'vitest'
import { Chance } from '../../seed/chance.ts'
import { verifyBook } from '../../server/book/verify.ts'
import type { Database } from '../../server/database/connection.ts'
import { openValley } from '../support/valley.ts'

type Value = string | number | Buffer | null
/** `at_row` is no column of any table. */
type Row = Record<string, Value> & { at_row: number }
interface Table {
  name: string
  columns: { name: string; dataType: string }[]
}

let db: Database
let tables: Table[]
const chance = new Chance(20261125)

beforeAll(async () => {
  db = (await openValley()).db
  const all = await db.introspection.getTables()
  tables = all.filter(({ name, columns }) => name === 'entry' || columns.some((column) => column.name === 'entry_id'))
  await sql`pragma ignore_check_constraints = on`.execute(db)
  await sql`pragma foreign_keys = off`.execute(db)
  for (const { name } of tables)
    for (const verb of ['update', 'delete']) await sql`drop trigger ${sql.ref(`${name}_no_${verb}`)}`.execute(db)
})

describe('the check of the whole book', () => {
  it('finds one figure or word changed in any table, whichever row and column it is', async () => {
    const [unseen, tried]: [string[], Set<string>] = [[], new Set()]
    for (const table of tables) {
      const rows = await rowsOf(table)
      // The place in the book is no part of what was written; the order of the chain is.
      const columns = table.columns.filter(({ name }) => name !== 'seq')
      for (const column of rows.length > 0 ? chosen(columns, 2) : []) {
        const row = rows[Math.floor(chance.next() * rows.length)]!
        const was = row[column.name]!
        const setTo = (value: Value) =>
          sql`update ${sql.table(table.name)} set ${sql.ref(column.name)} = ${value} where rowid = ${row.at_row}`
        if (!(await foundBetween(setTo(otherValue(was, column.dataType)), setTo(was))))
          unseen.push(`${table.name}.${column.name} of row ${row.at_row}`)
        tried.add(table.name)
      }
    }
    expect(unseen).toEqual([])
    expect(tried.size).toBeGreaterThan(50)
    expect((await verifyBook(db)).brokenAt).toBeNull()
  })

  it('finds one row taken out of any table', async () => {
    const unseen: string[] = []
    for (const table of tables) {
      const rows = await rowsOf(table)
      // The end of the chain can be cut off unseen; whoever keeps a copy or a printed book can tell.
      const row = rows[Math.floor(chance.next() * Math.max(1, rows.length - 1))]
      if (!row) continue
      const { at_row: atRow, ...values } = row
      const columns = sql.join(['rowid', ...Object.keys(values)].map((name) => sql.ref(name)))
      const back = sql`insert into ${sql.table(table.name)} (${columns}) values (${sql.join([atRow, ...Object.values(values)])})`
      if (!(await foundBetween(sql`delete from ${sql.table(table.name)} where rowid = ${atRow}`, back)))
        unseen.push(`${table.name} row ${atRow}`)
    }
    expect(unseen).toEqual([])
    expect((await verifyBook(db)).brokenAt).toBeNull()
  })
})

async function rowsOf({ name }: Table): Promise<Row[]> {
  return (await sql<Row>`select rowid as at_row, * from ${sql.table(name)}`.execute(db.withoutPlugins())).rows
}

function chosen<T>(values: readonly T[], count: number): T[] {
  const start = Math.floor(chance.next() * values.length)
  return Array.from({ length: Math.min(count, values.length) }, (_, step) => values[(start + step) % values.length]!)
}

function otherValue(value: Value, dataType: string): string | number | Buffer {
  if (Buffer.isBuffer(value)) return Buffer.concat([value, Buffer.of(7)])
  if (typeof value === 'number') return value + 1_000_003
  if (typeof value === 'string') return `${value}x`
  return /text/i.test(dataType) ? 'x' : 7
}

/** Changes the book behind its back, looks whether the check finds it, and puts back what stood there: the whole book fits again in the end. */
async function foundBetween(change: RawBuilder<unknown>, back: RawBuilder<unknown>): Promise<boolean> {
  await change.execute(db)
  const found = (await verifyBook(db)).brokenAt !== null
  await back.execute(db)
  return found
}
