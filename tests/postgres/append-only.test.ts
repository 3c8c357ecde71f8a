import { readFileSync } from 'node:fs'
import { sql } from 'kysely'
import pg from 'pg'
import { beforeAll, describe, expect, it } from 'vitest'
import { inspectBook } from '../../server/book/check/inspect.ts'
import { appendEntry, newId } from '../../server/book/entries.ts'
import { endOfBook, verifyBook } from '../../server/book/verify.ts'
import { openDatabase } from '../../server/database/connection.ts'
import { carryBook } from '../../server/database/postgres/carry.ts'
import { openPostgres } from '../../server/database/postgres/connection.ts'
import { openHeldBook } from '../../server/database/postgres/open-book.ts'
import { tablesOf } from '../../server/database/tables-of.ts'
import { startedBook } from '../support/book.ts'
import { valleyFile } from '../support/load-valley.ts'
import { placeOn } from '../support/postgres/book.ts'

const place = placeOn('postgres', 'kijito')
let writer: Awaited<ReturnType<typeof openHeldBook>>
let file: ReturnType<typeof openDatabase>

beforeAll(async () => {
  file = openDatabase(readFileSync(await valleyFile()))
  writer = await openHeldBook(place)
  await carryBook(file, writer.db)
})

describe('a book on PostgreSQL', () => {
  it('was carried with the same chain', async () => {
    expect(await endOfBook(writer.db)).toEqual(await endOfBook(file))
    expect(await verifyBook(writer.db)).toMatchObject({ brokenAt: null })
  })

  it('holds to its own sums there too', async () => {
    expect((await inspectBook(writer.db)).faults).toEqual((await inspectBook(file)).faults)
  })

  it('is carried nowhere else than to an empty place', async () => {
    await expect(carryBook(file, writer.db)).rejects.toMatchObject({ code: 'not-empty' })
  })

  it('is open to one program alone', async () => {
    await expect(openHeldBook(place)).rejects.toMatchObject({ code: 'two-programs' })
  })

  it('lets nobody change or strike what was written: not the writer for want of the right, not the owner for the triggers', async () => {
    const facts = (await tablesOf(writer.db)).filter(({ columns }) => columns.some(({ name }) => name === 'entry_id'))
    expect(facts.length).toBeGreaterThan(150)
    const owner = openPostgres(place)
    for (const { name } of [...facts, { name: 'entry' }]) {
      const table = sql.table(name)
      for (const act of [sql`delete from ${table}`, sql`truncate ${table} cascade`])
        await expect(act.execute(writer.db), name).rejects.toThrow(/permission denied/)
      await expect(sql`truncate ${table} cascade`.execute(owner), name).rejects.toThrow(/append-only/)
      const { rows } = await sql`select 1 from ${table} limit 1`.execute(owner)
      if (rows.length > 0) await expect(sql`delete from ${table}`.execute(owner), name).rejects.toThrow(/append-only/)
    }
    await expect(sql`update transfer set amount_minor = 1`.execute(owner)).rejects.toThrow(/append-only/)
    await expect(sql`update transfer set amount_minor = 1`.execute(writer.db)).rejects.toThrow(/permission denied/)
    await owner.destroy()
  })

  it('grows by one chain without a gap, however many write at once and take their writing back', async () => {
    const { writtenBy } = await writer.db.selectFrom('entry').select('writtenBy').executeTakeFirstOrThrow()
    const before = await endOfBook(writer.db)
    const connections = Array.from({ length: 6 }, () => openPostgres(place, 'kijito_writer'))
    const one = (db: (typeof connections)[number], fails: boolean) =>
      db.transaction().execute(async (trx) => {
        const pen = { trx, writtenBy, writtenAt: '2026-11-26T06:00:00.000Z' }
        await appendEntry(pen, { kind: 'cover-note' }, {})
        if (fails) throw new Error('taken back')
      })
    const acts = connections.flatMap((db) => Array.from({ length: 10 }, (_, at) => one(db, at % 3 === 2)))
    const done = await Promise.allSettled(acts)
    expect(done.filter(({ status }) => status === 'fulfilled')).toHaveLength(6 * 7)
    expect((await endOfBook(writer.db)).entries).toBe(before.entries + 42)
    expect(await verifyBook(writer.db)).toMatchObject({ brokenAt: null })
    for (const db of connections) await db.destroy()
  })

  it('takes a form that is sent twice at once only once', async () => {
    const { writtenBy } = await writer.db.selectFrom('entry').select('writtenBy').executeTakeFirstOrThrow()
    const key = newId()
    const [one, other] = [openPostgres(place), openPostgres(place)]
    const send = (db: typeof one) =>
      db.transaction().execute((trx) => {
        const form = { key, digest: 'd', answer: () => '/' }
        return appendEntry({ trx, writtenBy, writtenAt: '2026-11-26T06:00:00.000Z', form }, { kind: 'cover-note' }, {})
      })
    const sent = await Promise.allSettled([send(one), send(other)])
    const refused = sent.filter((each) => each.status === 'rejected')
    expect(refused.map(({ reason }) => reason.code)).toEqual(['SQLITE_CONSTRAINT_UNIQUE'])
    for (const db of [one, other]) await db.destroy()
  })

  it('shares nothing with the group in the schema beside it', async () => {
    const beside = await openHeldBook(placeOn('postgres', 'mto'))
    expect((await endOfBook(beside.db)).entries).toBe(0)
    const client = new pg.Client({ connectionString: placeOn('postgres') })
    await client.connect()
    await client.query('set role mto_writer')
    await expect(client.query('select 1 from kijito.entry')).rejects.toThrow(/permission denied/)
    await client.end()
    await beside.close()
  })
})

describe('the pages of a book on PostgreSQL', () => {
  it('are opened and written', async () => {
    const { ada, db } = await startedBook()
    expect((await ada.open('/')).status).toBe(200)
    expect((await verifyBook(db)).brokenAt).toBeNull()
  })
})
