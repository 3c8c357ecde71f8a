import { execFile, spawn } from 'node:child_process'
import { once } from 'node:events'
import { copyFileSync, existsSync, mkdirSync, readdirSync, readFileSync, truncateSync, writeFileSync } from 'node:fs'
import { createServer } from 'node:net'
import { join } from 'node:path'
import { sql } from 'kysely'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { openDatabase } from '../../../server/database/connection.ts'
import { migrateToLatest } from '../../../server/database/migrate.ts'
import { projectFolder } from '../../../server/project-folder.ts'
import { programCommand, programEnvironment } from '../../support/program.ts'
import { failedStart, type Running, startServer, temporaryFolder } from '../process.ts'
import { beginBook, personForms, post } from '../register.ts'

const folder = temporaryFolder()
afterAll(() => folder.remove())
const at = (name: string) => join(folder.path, name)

/** One of the commands on a book, as whoever keeps it runs it. */
function command(script: string, database: string, ...words: string[]): Promise<{ code: number; shown: string }> {
  const [program, ...args] = programCommand(script, ...words)
  const env = programEnvironment({ DATABASE: database })
  return new Promise((resolve) => {
    execFile(program, args, { cwd: projectFolder(), env }, (error, out, problem) =>
      resolve({ code: error ? Number(error.code) : 0, shown: out + problem }),
    )
  })
}

const TRACE = /\n\s+at |node:internal|SqliteError/

/** What may lie where a book should, with what is said of it. */
const LIES: [name: string, make: (place: string) => unknown, said: RegExp][] = [
  ['nothing', () => undefined, /there is no .*book\.sqlite.*good\.sqlite/],
  ['an empty file', (place) => writeFileSync(place, ''), /is an empty file, no book/],
  ['a letter', (place) => writeFileSync(place, 'Dear neighbours, '.repeat(300)), /is not a book/],
  ['a folder', (place) => mkdirSync(place), /cannot be opened|is not a book/],
  [
    'a damaged file',
    (place) =>
      writeFileSync(place, Buffer.concat([readFileSync(at('good.sqlite')).subarray(0, 100), Buffer.alloc(9000, 7)])),
    /damaged|is not a book/,
  ],
  ['a database of somebody else', other, /list of steps/],
]

async function other(place: string) {
  const db = openDatabase(place)
  await sql`create table purse (coins integer)`.execute(db)
  await sql`pragma journal_mode = delete`.execute(db)
  await db.destroy()
}

beforeAll(async () => {
  const db = openDatabase(at('good.sqlite'))
  await migrateToLatest(db)
  await db.destroy()
})

describe.each(LIES)('%s where a book should be', (name, make, said) => {
  const place = join(folder.path, name, 'book.sqlite')
  beforeAll(async () => {
    mkdirSync(join(folder.path, name))
    copyFileSync(at('good.sqlite'), join(folder.path, name, 'good.sqlite'))
    await make(place)
  })

  it('is told in a sentence by the check, the copy and the start, and nothing is made or changed', async () => {
    const before = readdirSync(join(folder.path, name))
    const told = [
      await command('verify-book', place),
      await command('copy-book', place, at(`copy of ${name}.sqlite`)),
      ...(name === 'a database of somebody else' ? [] : [await failedStart({ DATABASE: place, NEW_BOOK: 'no' })]),
    ]
    for (const { code, shown } of told.filter((_, place) => place !== 1 || name !== 'a database of somebody else')) {
      expect(shown).toMatch(said)
      expect(shown).not.toMatch(TRACE)
      expect(shown).not.toContain('whole')
      expect(code).toBe(1)
    }
    expect(readdirSync(join(folder.path, name))).toEqual(before)
  })
})

describe('the file of a book', () => {
  it('is never called whole while nothing is written in it', async () => {
    const { code, shown } = await command('verify-book', at('good.sqlite'))
    expect([code, shown]).toEqual([1, expect.stringContaining('Nothing is written in this book yet')])
  })

  it('is refused from a newer version, which is named', async () => {
    copyFileSync(at('good.sqlite'), at('newer.sqlite'))
    const db = openDatabase(at('newer.sqlite'))
    await sql`insert into kysely_migration values ('9000-next', '2026')`.execute(db)
    await db.destroy()
    const bytes = readFileSync(at('newer.sqlite'))
    const start = await failedStart({ DATABASE: at('newer.sqlite') })
    expect(start.shown).toMatch(/newer version .* step 9000-next/)
    expect(start.shown).not.toMatch(TRACE)
    expect((await command('verify-book', at('newer.sqlite'))).shown).toMatch(/newer version .* step 9000-next/i)
    expect(readFileSync(at('newer.sqlite')).equals(bytes)).toBe(true)
  })

  it('is not left behind empty where the port is taken', async () => {
    const taken = createServer().listen(0, '127.0.0.1')
    await once(taken, 'listening')
    const { port } = taken.address() as { port: number }
    const start = await failedStart({ DATABASE: at('none.sqlite'), PORT: String(port) })
    taken.close()
    expect(start.shown).toMatch(/PORT: .*in use/)
    expect(existsSync(at('none.sqlite'))).toBe(false)
  })
})

describe('a running book', () => {
  let server: Running
  const place = at('running.sqlite')
  beforeAll(async () => {
    server = await startServer(place)
    const ada = await beginBook(server)
    for (const form of await personForms(ada, 5)) await post(ada, form)
  })

  it('refuses a second server on its file, and is copied and verified as it runs', async () => {
    const second = await failedStart({ DATABASE: place })
    expect([second.code, second.shown]).toEqual([1, expect.stringContaining('open in another start')])
    expect((await command('verify-book', place)).shown).toMatch(/whole: \d\d entries/)
    const copied = await command('copy-book', place, at('copy.sqlite'))
    expect(copied.shown).toMatch(/Copied the book to .*: \d\d entries/)
    expect((await command('verify-book', at('copy.sqlite'))).code).toBe(0)
    expect(readdirSync(folder.path).filter((name) => name.startsWith('copy.sqlite'))).toEqual(['copy.sqlite'])
  })

  it('copied without its log, or with half of it, is told as such', async () => {
    copyFileSync(place, at('plain.sqlite'))
    const plain = await command('verify-book', at('plain.sqlite'))
    expect([plain.code, plain.shown]).toEqual([1, expect.stringContaining('last entries may be missing')])
    copyFileSync(place, at('cut.sqlite'))
    copyFileSync(`${place}-wal`, at('cut.sqlite-wal'))
    truncateSync(at('cut.sqlite-wal'), 32 + 4120 * 3 + 900)
    const cut = await command('verify-book', at('cut.sqlite'))
    expect([cut.code, cut.shown]).toEqual([1, expect.stringMatching(/middle of a writing/)])
  })

  it.each(['SIGTERM', 'SIGINT', 'SIGHUP'] as const)(
    'folds its log into the file on %s, says so, and gives it back',
    async (signal) => {
      const { code, shown } = await server.stop(signal)
      expect([code, shown]).toEqual([0, expect.stringContaining('lies whole in its file')])
      expect(shown).not.toContain('was not closed')
      expect(readdirSync(folder.path).filter((name) => name.startsWith('running.sqlite'))).toEqual(['running.sqlite'])
      copyFileSync(place, at('closed.sqlite'))
      expect((await command('verify-book', at('closed.sqlite'))).code).toBe(0)
      server = await startServer(place, { port: server.port })
    },
  )

  it('told to stop while it is being made, ends with one whole file and says so', async () => {
    const early = await startServer(at('early.sqlite'), { until: () => existsSync(at('early.sqlite')) })
    const { code, shown } = await early.stop('SIGTERM')
    expect([code, shown]).toEqual([0, expect.stringContaining('lies whole in its file')])
    expect(readdirSync(folder.path).filter((name) => name.startsWith('early.sqlite'))).toEqual(['early.sqlite'])
    const again = await startServer(at('early.sqlite'))
    expect((await again.stop('SIGTERM')).shown).not.toContain('was not closed')
  })

  it('says after a power cut that it was not closed, and what it holds', async () => {
    await server.kill()
    server = await startServer(place, { port: server.port })
    expect(await server.read(/was not closed when it was last used/)).toBeTruthy()
    expect(await server.read(/The book holds \d\d entries, the last written 20/)).toBeTruthy()
    await server.kill()
  })

  it('ends, with its log folded in, when the npm that started it is gone', async () => {
    const command = programCommand('main')
    const env = programEnvironment({ DATABASE: place, PORT: String(server.port), npm_lifecycle_event: 'start' })
    const shell = spawn('sh', ['-c', '"$@"; true', 'sh', ...command], { cwd: projectFolder(), env })
    let shown = ''
    for (const stream of [shell.stdout, shell.stderr]) stream.on('data', (part: Buffer) => (shown += part.toString()))
    while (!shown.includes('The book holds')) await new Promise((resolve) => setTimeout(resolve, 50))
    const closed = once(shell, 'close')
    shell.kill('SIGKILL')
    await closed
    expect(shown).toContain('lies whole in its file')
    expect(readdirSync(folder.path).filter((name) => name.startsWith('running.sqlite'))).toEqual(['running.sqlite'])
  })
})
