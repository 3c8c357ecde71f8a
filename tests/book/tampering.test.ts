import { sql } from 'kysely'
import { beforeAll, describe, expect, it } from 'vitest'
import { Chance } from '../../seed/chance.ts'
import { verifyBook } from '../../server/book/verify.ts'
import type { Database } from '../../server/database/connection.ts'
import { openValley } from '../support/valley.ts'

type Value = string | number | Buffer | null
type Row = Record<string, Value> & { place: number }
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
        const change = sql`update ${sql.table(table.name)} set ${sql.ref(column.name)} = ${otherValue(row[column.name]!, column.dataType)} where rowid = ${row.place}`
        if (!(await foundAfter(table.name, change))) unseen.push(`${table.name}.${column.name} of row ${row.place}`)
        tried.add(table.name)
      }
    }
    expect(unseen).toEqual([])
    expect(tried.size).toBeGreaterThan(50)
  })

  it('finds one row taken out of any table', async () => {
    const unseen: string[] = []
    for (const table of tables) {
      const rows = await rowsOf(table)
      // The end of the chain can be cut off unseen; whoever keeps a copy or a printed book can tell.
      const row = rows[Math.floor(chance.next() * Math.max(1, rows.length - 1))]
      if (row && !(await foundAfter(table.name, sql`delete from ${sql.table(table.name)} where rowid = ${row.place}`)))
        unseen.push(`${table.name} row ${row.place}`)
    }
    expect(unseen).toEqual([])
  })
})

async function rowsOf({ name }: Table): Promise<Row[]> {
  return (await sql<Row>`select rowid as place, * from ${sql.table(name)}`.execute(db.withoutPlugins())).rows
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

/** Changes the book behind its back, looks whether the check finds it, and takes the change back. */
async function foundAfter(table: string, change: ReturnType<typeof sql>): Promise<boolean> {
  let found = false
  await sql`pragma ignore_check_constraints = on`.execute(db)
  await sql`pragma foreign_keys = off`.execute(db)
  const undone = new Error('taken back')
  await db
    .transaction()
    .execute(async (trx) => {
      for (const verb of ['update', 'delete']) await sql`drop trigger ${sql.ref(`${table}_no_${verb}`)}`.execute(trx)
      await change.execute(trx)
      found = (await verifyBook(trx)).brokenAt !== null
      throw undone
    })
    .catch((error) => {
      if (error !== undone) throw error
    })
  return found
}
