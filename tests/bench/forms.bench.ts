import { copyFileSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import SqliteDatabase from 'better-sqlite3'
import { median } from 'd3-array'
import { buildApp } from '../../server/app.ts'
import { newId } from '../../server/book/entries.ts'
import { type Database, openDatabase } from '../../server/database/connection.ts'
import { migrateToLatest } from '../../server/database/migrate.ts'
import { type Body, Rascal } from '../faults/nasty.ts'
import { CHEAP_HASHING } from '../support/hashing.ts'
import { VALLEY_TODAY, valleyFile } from '../support/load-valley.ts'
import { shown, timedMs } from './measure.ts'

const TIMES = 60

interface Row {
  table: string
  values: Record<string, unknown>
}

/** Forms of every day, each sent again and again, beside a bare route of the same server that writes the same rows into a copy of the book. */
export async function run(): Promise<string[]> {
  const folder = mkdtempSync(join(tmpdir(), 'commonweir-forms-'))
  const file = join(folder, 'book.sqlite')
  writeFileSync(file, readFileSync(await valleyFile()))
  const db = openDatabase(file)
  await migrateToLatest(db)
  const now = new Date(`${VALLEY_TODAY}T10:00:00Z`)
  const app = await buildApp({ db, now: () => now, claimCode: '246810', hashing: CHEAP_HASHING })
  let write = () => {}
  app.post('/bare', (_request, reply) => {
    write()
    return reply.redirect('/', 303)
  })
  await app.ready()
  const lines = []
  for (const { name, who, path, body } of await forms(db)) {
    const rascal = new Rascal(app)
    await rascal.signIn(who)
    const { html } = await rascal.open(path)
    const form = html.querySelector('main form[method="post"]')!
    const action = form.getAttribute('action')!
    const hidden = form.querySelectorAll('input[type="hidden"]').filter((one) => !/^_/.test(one.getAttribute('name')!))
    const told = Object.fromEntries(hidden.map((one) => [one.getAttribute('name')!, one.getAttribute('value')!]))
    const before = lastSeq(file)
    const { status } = await rascal.post(action, { ...told, ...body(0) })
    if (status !== 303) throw new Error(`${action} answered ${status}`)
    write = bareWriting(file, before)
    const times: number[][] = [[], []]
    for (let at = 1; at <= TIMES; at++)
      for (const [which, to] of [action, '/bare'].entries()) {
        const { ms, result } = await timedMs(() => rascal.post(to, { ...told, ...body(at) }))
        if (result.status !== 303) throw new Error(`${to} answered ${result.status}`)
        times[which]!.push(ms)
      }
    const [ours, bare] = times.map((one) => median(one)!)
    lines.push(`${name}: ${shown(ours!)} ms, bare ${shown(bare!)} ms: ${shown(bare! / ours!)} (wanted: at least 0.6)`)
  }
  await app.close()
  await db.destroy()
  rmSync(folder, { recursive: true })
  return lines
}

async function forms(db: Database): Promise<{ name: string; who: string; path: string; body: (at: number) => Body }[]> {
  const { entryId: weirId } = await db
    .selectFrom('weir')
    .select('entryId')
    .where('number', '=', 2)
    .executeTakeFirstOrThrow()
  const { personId, plotId } = await db
    .selectFrom('plotHolder')
    .innerJoin('person', 'person.entryId', 'plotHolder.personId')
    .select(['personId', 'plotId'])
    .where('person.number', '=', 8)
    .executeTakeFirstOrThrow()
  return [
    {
      ...{ name: 'a payment', who: 'fanta', path: '/money/pay' },
      body: (at) => ({ payerId: personId, amount: String(101 + at), column: 'cash', paidOn: VALLEY_TODAY }),
    },
    {
      ...{ name: 'a request for water', who: 'hila', path: '/turns/ask' },
      body: (at) => ({ plotId, weekStartOn: '2026-11-30', volume: String(1 + at / 100) }),
    },
    {
      ...{ name: 'a level at a weir', who: 'dovi', path: '/water/levels/new' },
      body: (at) => ({ weirId, readOn: VALLEY_TODAY, readAt: '06:30', depth: String(70 + at / 10) }),
    },
    {
      ...{ name: 'water at the stand', who: 'dovi', path: '/log/water?use=drinking' },
      body: (at) => ({ place: `weir:${weirId}`, volume: String(20 + at), unit: 'jerrycans', onDate: VALLEY_TODAY }),
    },
  ]
}

/** What was written after an entry, written again and again as bare inserts of one durable transaction. */
function bareWriting(file: string, since: number): () => void {
  const rows = writtenSince(file, since)
  const copy = `${file}.${since}`
  copyFileSync(file, copy)
  const sqlite = new SqliteDatabase(copy)
  sqlite.pragma('journal_mode = wal')
  sqlite.pragma('synchronous = full')
  const inserts = rows.map(({ table, values }) => {
    const columns = Object.keys(values)
    return sqlite.prepare(`insert into ${table} (${columns.join(', ')}) values (${columns.map(() => '?').join(', ')})`)
  })
  let number = 1_000_000
  return sqlite.transaction(() => {
    const fresh = new Map<unknown, string>()
    number++
    for (const [at, { table, values }] of rows.entries())
      inserts[at]!.run(Object.entries(values).map(anew(table, fresh, number)))
  })
}

/** What may stand only once in the book is another one each time. */
function anew(table: string, fresh: Map<unknown, string>, number: number) {
  return ([column, value]: [string, unknown]) => {
    if (column === 'receipt_number' && value !== null) return number
    if (column === 'form_key' || column === 'hash') return newId()
    if (column !== 'entry_id' && !(table === 'entry' && column === 'id')) return value
    fresh.set(value, fresh.get(value) ?? newId())
    return fresh.get(value)
  }
}

function lastSeq(file: string): number {
  return reading(file, (sqlite) => sqlite.prepare('select max(seq) as seq from entry').get() as { seq: number }).seq
}

/** The entries after one, and every row that hangs on them. */
function writtenSince(file: string, seq: number): Row[] {
  return reading(file, (sqlite) => {
    const all = (sql: string) => sqlite.prepare(sql).all(seq) as Record<string, unknown>[]
    const tables = sqlite
      .prepare(
        `select made.name from sqlite_schema as made join pragma_table_info(made.name) as held
        where made.type = 'table' and held.name = 'entry_id'`,
      )
      .pluck()
      .all() as string[]
    const entries = all('select * from entry where seq > ?').map(({ seq: _, ...values }) => ({
      table: 'entry',
      values,
    }))
    const facts = tables.flatMap((table) =>
      all(`select * from ${table} where entry_id in (select id from entry where seq > ?)`).map((values) => ({
        table,
        values,
      })),
    )
    return [...entries, ...facts]
  })
}

function reading<T>(file: string, read: (sqlite: SqliteDatabase.Database) => T): T {
  const sqlite = new SqliteDatabase(file, { readonly: true })
  const found = read(sqlite)
  sqlite.close()
  return found
}
