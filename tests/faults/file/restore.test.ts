import { execFile } from 'node:child_process'
import { createHash } from 'node:crypto'
import { copyFileSync, mkdirSync, readdirSync, readFileSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { sql } from 'kysely'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { passwordsInChain } from '../../../server/book/check/apart.ts'
import { inspectBook } from '../../../server/book/check/inspect.ts'
import { appendEntry } from '../../../server/book/entries.ts'
import { type Database, openDatabase } from '../../../server/database/connection.ts'
import { openBookFile } from '../../../server/database/file/book-file.ts'
import { copyDaily, daysCopied } from '../../../server/database/file/daily-copies.ts'
import { passwordHashOf } from '../../../server/people/person/store.ts'
import { projectFolder } from '../../../server/project-folder.ts'
import { programCommand, programEnvironment } from '../../support/program.ts'
import { serialized } from '../../support/serialized.ts'
import { openValley } from '../../support/valley.ts'
import { startServer, temporaryFolder } from '../process.ts'

const folder = temporaryFolder()
afterAll(() => folder.remove())
const at = (name: string) => join(folder.path, name)

function command(script: string, database: string, ...words: string[]): Promise<{ code: number; shown: string }> {
  const [program, ...args] = programCommand(script, ...words)
  const env = programEnvironment({ DATABASE: database })
  return new Promise((resolve) => {
    execFile(program, args, { cwd: projectFolder(), env }, (error, out, problem) =>
      resolve({ code: error ? Number(error.code) : 0, shown: out + problem }),
    )
  })
}

let valley: Awaited<ReturnType<typeof openValley>>
let personId: string
beforeAll(async () => {
  valley = await openValley()
  personId = (await valley.db.selectFrom('credential').select('personId').executeTakeFirstOrThrow()).personId
  await withOldPassword(valley.db)
})

/** As versions wrote it that kept the hash in the chain. */
async function withOldPassword(db: Database) {
  const pen = { writtenBy: personId, writtenAt: '2026-11-25T09:00:00.000Z' }
  const credential = [{ personId, passwordHash: '$argon2id$v=19$old' }]
  await db
    .transaction()
    .execute((trx) => appendEntry({ trx, ...pen }, { kind: 'password', forPersonId: personId }, { credential }))
}

describe('a copy that leaves the house', () => {
  let bytes: Buffer

  it('is loaded by whoever sees all money, and its hash stands on the page', async () => {
    const fanta = await valley.signIn('fanta')
    const page = await fanta.fill('/paper/copies', {}, { action: '/paper/copies' })
    const link = page.html.querySelector('a[href^="/paper/copies/"]')!.getAttribute('href')!
    const file = await fanta.agent
      .get(link)
      .buffer(true)
      .parse((response, done) => {
        const parts: Buffer[] = []
        response.on('data', (part: Buffer) => parts.push(part))
        response.on('end', () => done(null, Buffer.concat(parts)))
      })
    bytes = file.body as Buffer
    const hash = createHash('sha256').update(bytes).digest('hex')
    expect(page.html.querySelector('main code')!.text.replaceAll(' ', '')).toBe(hash)
    const goro = await valley.signIn('goro')
    expect((await goro.open(link)).status).toBe(404)
  })

  it('holds no hash of a password, old or new, signs nobody in, and verifies, saying how many were left out', async () => {
    expect(bytes.includes('$argon2')).toBe(false)
    writeFileSync(at('home.sqlite'), bytes)
    const copy = openBookFile(at('home.sqlite'))
    expect((await inspectBook(copy)).faults).toEqual([])
    expect(await passwordHashOf(copy, personId)).toBeUndefined()
    expect(await passwordsInChain(copy)).toMatchObject({ inside: 0, leftOut: 1 })
    expect(await copy.selectFrom('session').selectAll().execute()).toEqual([])
    await copy.destroy()
    expect((await command('verify-book', at('home.sqlite'))).shown).toContain(
      'of 1 entry the hash of a password was left out',
    )
  })

  it('lets nobody put another password in place of one behind the app', async () => {
    const db = openDatabase(await serialized(valley.db))
    await sql`update password_apart set password_hash = '$argon2id$v=19$mine'`.execute(db)
    expect((await inspectBook(db)).faults.map(({ code }) => code)).toContain('password')
    await db.destroy()
  })
})

describe('a restore', () => {
  it('checks the copy, says what differs, keeps the old book, puts back what was left out, and is refused while the book is open', async () => {
    writeFileSync(at('book.sqlite'), await serialized(valley.db))
    const book = openDatabase(at('book.sqlite'))
    await withOldPassword(book)
    await book.destroy()
    const { code, shown } = await command('restore-book', at('book.sqlite'), at('home.sqlite'))
    expect(shown).toMatch(/has 1 entry that the copy has not; the copy has none that the book has not/)
    expect(code).toBe(0)
    const restored = openBookFile(at('book.sqlite'))
    expect((await inspectBook(restored)).faults).toEqual([])
    expect(await passwordHashOf(restored, personId)).toBe('$argon2id$v=19$old')
    await restored.destroy()
    const kept = readdirSync(folder.path).find((name) => name.startsWith('book-replaced-'))!
    expect((await command('verify-book', at(kept))).code).toBe(0)
    const server = await startServer(at('book.sqlite'))
    const open = await command('restore-book', at('book.sqlite'), at('home.sqlite'))
    expect([open.code, open.shown]).toEqual([1, expect.stringContaining('open in another start')])
    expect(await server.read(/copy of today lies in .*copies/)).toBeTruthy()
    await server.stop('SIGTERM')
  })

  it('refuses a copy that was changed, and leaves the book as it was', async () => {
    copyFileSync(at('home.sqlite'), at('changed.sqlite'))
    const db = openDatabase(at('changed.sqlite'))
    await sql`drop trigger person_no_update`.execute(db)
    await sql`update person set name = 'Somebody' where number = 2`.execute(db)
    await db.destroy()
    const before = readFileSync(at('book.sqlite'))
    const { code, shown } = await command('restore-book', at('book.sqlite'), at('changed.sqlite'))
    expect([code, shown]).toEqual([1, expect.stringContaining('Nothing was restored')])
    expect(readFileSync(at('book.sqlite')).equals(before)).toBe(true)
  })
})

describe('the copies of each day', () => {
  const TODAY = new Date('2026-11-25T12:00:00Z')

  it('are every day of two weeks, one of each week before, one of each month before that', async () => {
    const copies = { folder: at('daily'), place: at('book.sqlite') }
    mkdirSync(copies.folder)
    const day = new Date('2026-03-01T00:00:00Z')
    for (; day < new Date('2026-11-25T00:00:00Z'); day.setUTCDate(day.getUTCDate() + 1))
      writeFileSync(join(copies.folder, `book-${day.toISOString().slice(0, 10)}.sqlite`), 'a copy')
    writeFileSync(join(copies.folder, 'letter.txt'), 'of somebody else')
    const made = await copyDaily(valley.db, copies, TODAY)
    const copy = openBookFile(made!)
    expect((await inspectBook(copy)).faults).toEqual([])
    await copy.destroy()
    const days = daysCopied(copies)
    expect(days.filter((one) => one > '2026-11-11')).toHaveLength(14)
    expect(days.filter((one) => one > '2026-08-27' && one <= '2026-11-11').length).toBeLessThanOrEqual(12)
    expect(days.filter((one) => one < '2026-08-01').map((one) => one.slice(0, 7))).toEqual([
      '2026-03',
      '2026-04',
      '2026-05',
      '2026-06',
      '2026-07',
    ])
    expect(readdirSync(copies.folder)).toContain('letter.txt')
    expect(await copyDaily(valley.db, copies, TODAY)).toBeNull()
  })

  it.each(['2000-01-01', '2040-01-01'])('are all kept by a clock that stands at %s', async (wrong) => {
    const copies = { folder: at(`kept on ${wrong}`), place: at('book.sqlite') }
    mkdirSync(copies.folder)
    const days = ['2026-11-22', '2026-11-23', '2026-11-24', '2026-11-25']
    for (const day of days) writeFileSync(join(copies.folder, `book-${day}.sqlite`), 'a copy')
    await copyDaily(valley.db, copies, new Date(`${wrong}T06:00:00Z`))
    expect(daysCopied(copies)).toEqual([...days, wrong].sort())
  })
})
