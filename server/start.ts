import { existsSync, readFileSync, statfsSync } from 'node:fs'
import { createServer } from 'node:net'
import { networkInterfaces } from 'node:os'
import { dirname, join, resolve } from 'node:path'
import type { FastifyInstance } from 'fastify'
import { sql } from 'kysely'
import { buildApp } from './app.ts'
import { listSeals } from './book/check/seal.ts'
import { readClock } from './book/clock.ts'
import { endOfBook, findHash } from './book/verify.ts'
import { optionOf } from './database/command.ts'
import { type Database, openDatabase } from './database/connection.ts'
import { booksBeside, isMarkedInUse, logBeside, mustBeBook, whatLies } from './database/file/book-file.ts'
import { type Copies, copyDaily } from './database/file/daily-copies.ts'
import { holdAlone } from './database/file/one-program.ts'
import { BookProblem } from './database/file/problem.ts'
import { writeCopy } from './database/file/write-copy.ts'
import { migrateToLatest, stepsOf } from './database/migrate.ts'
import { newClaimCode } from './people/first-run/claim-code.ts'
import { bookIsEmpty } from './people/group/store.ts'
import { practiceBeside } from './practice-beside.ts'
import { reckonElsewhere } from './reckoner/elsewhere.ts'
import type { Settings } from './settings.ts'
import { loadLocale, type Translate } from './web/figures/locale.ts'
import { ownAddress, phoneAddresses } from './web/phones.ts'

/** So little room is said at the start: some weeks of writing and a copy of the book. Own choice, no source. */
const LITTLE_ROOM_BYTES = 100_000_000

/** A closed window on Windows leaves ten seconds at most (Windows console: CTRL_CLOSE_EVENT, from memory). */
const LONGEST_MS = 8_000
const LOOK_MS = 1_000
const LOOK_FOR_DAY_MS = 600_000
/** TERM, Ctrl-C, a closed terminal or window, Ctrl-Break. */
const SIGNALS = ['SIGTERM', 'SIGINT', 'SIGHUP', 'SIGBREAK'] as const

/**
 * Opens the book and lets people in. What may stop it is looked at first, so that nothing is made or changed where it stops;
 * what it sees of the book is said in the terminal. Throws BookProblem, or what `startProblem` tells.
 */
export async function startBook(settings: Settings): Promise<void> {
  const { HOST, PORT, DATABASE, BOOK_LANGUAGE } = settings
  const locale = loadLocale(BOOK_LANGUAGE)
  const seen = seenBefore(settings)
  const giveBack = holdAlone(DATABASE)
  let db: Database | undefined
  try {
    await mustBeFree(HOST, PORT)
    db = openDatabase(DATABASE)
    await bringUpToDate(db, settings, locale.t)
    const claimCode = newClaimCode()
    reckonElsewhere()
    const phones = () => phoneAddresses(HOST, PORT, networkInterfaces())
    const app = await buildApp({
      db,
      now: () => new Date(),
      claimCode,
      locale,
      log: true,
      practice: practiceBeside(PORT),
      phones,
      copies: copiesOf(settings),
      trustedProxy: settings.TRUSTED_PROXY,
      isBehindTls: settings.BEHIND_TLS,
      idleMinutes: settings.IDLE_HOURS * 60,
    })
    await app.listen({ host: HOST, port: PORT })
    stopWhenTold({ app, db, giveBack, t: locale.t })
    console.log(`Commonweir: open ${ownAddress(HOST, PORT)} (book: ${DATABASE})`)
    const reached = phones()
    console.log(
      reached.length > 0
        ? locale.t('file.start.phones', { urls: reached.join('  ') })
        : locale.t('file.start.no-phones'),
    )
    for (const key of seen) console.log(locale.t(key))
    await tellBook(db, DATABASE, locale.t)
    keepCopies(db, settings, locale.t)
    if (await bookIsEmpty(db))
      console.log(`The book is empty. To start it, the first page asks for this code: ${claimCode}`)
  } catch (error) {
    await db?.destroy().catch(() => {})
    giveBack()
    throw error
  }
}

/** What lies at the place: a new book is made only where nothing lies and no other book that may have been meant. */
function seenBefore({ DATABASE, NEW_BOOK }: Settings): string[] {
  const lies = whatLies(DATABASE)
  if (lies !== 'nothing') {
    mustBeBook(DATABASE)
    return told(DATABASE)
  }
  if (!existsSync(dirname(resolve(DATABASE)))) throw new BookProblem('no-folder', { place: DATABASE })
  const others = booksBeside(DATABASE)
  if (others !== '' && !NEW_BOOK) throw new BookProblem('mistyped', { place: resolve(DATABASE), others })
  return ['file.start.new']
}

/** A book that was not closed has its log beside it, unless somebody copied it while it was open. */
function told(place: string): string[] {
  if (!isMarkedInUse(place)) return []
  const log = logBeside(place)
  if (log === 'none') return ['file.start.copied-open']
  return [log === 'cut' ? 'file.start.log-cut' : 'file.start.not-closed']
}

async function bringUpToDate(db: Database, { DATABASE }: Settings, t: Translate): Promise<void> {
  const { taken, known } = await stepsOf(db)
  const beyond = taken.find((name) => !known.includes(name))
  if (beyond) throw new BookProblem('newer', { place: DATABASE, step: beyond, own: known.at(-1)! })
  if (taken.length > 0 && taken.length < known.length) {
    const copy = DATABASE.replace(/(\.sqlite)?$/, `-before-${known.at(-1)}.sqlite`)
    if (!existsSync(copy)) await writeCopy(db, copy)
    console.log(t('file.start.before-steps', { copy, steps: known.length - taken.length }))
  }
  await migrateToLatest(db)
  await sql`pragma user_version = 1`.execute(db)
  await sql`pragma wal_checkpoint(truncate)`.execute(db)
}

async function tellBook(db: Database, place: string, t: Translate): Promise<void> {
  const { entries, lastHash, at } = await endOfBook(db)
  if (entries > 0) console.log(t('file.start.holds', { entries, at, hash: lastHash }))
  const [seal] = await listSeals(db)
  if (seal) console.log(t('file.start.seal', { at: seal.setAt, digits: seal.digits.match(/.{4}/g)!.join(' ') }))
  const noted = optionOf(process.argv, '--last')
  if (noted !== null) {
    const found = await findHash(db, noted)
    const later = found.at === 'here' ? found.later : 0
    const [entry, written] = found.at === 'nowhere' ? ['', ''] : [String(found.entry), found.writtenAt]
    console.log(t(`file.noted-${found.at}`, { noted, entry, at: written, later }))
  }
  const { doubt, lastAt } = await readClock(db, new Date())
  if (doubt) console.log(t(`file.start.clock-${doubt}`, { last: lastAt!, now: new Date().toISOString() }))
  const { bavail, bsize } = statfsSync(dirname(resolve(place)))
  if (bavail * bsize < LITTLE_ROOM_BYTES)
    console.log(t('file.start.little-room', { megabytes: Math.floor((bavail * bsize) / 1_000_000) }))
}

/** Where the copies of each day go, and of which book; null where none are wanted. */
function copiesOf({ DATABASE, COPIES }: Settings): Copies | null {
  if (COPIES === 'no') return null
  return { folder: COPIES ?? join(dirname(resolve(DATABASE)), 'copies'), place: DATABASE }
}

/** The copy of the day, now and whenever a new day has begun; where it fails, the book goes on and says so. */
function keepCopies(db: Database, settings: Settings, t: Translate): void {
  const copies = copiesOf(settings)
  if (!copies) return
  const copy = async () => {
    try {
      if (await bookIsEmpty(db)) return
      const place = await copyDaily(db, copies, new Date().toISOString().slice(0, 10))
      if (place) console.log(t('file.start.copied-today', { place }))
    } catch (error) {
      console.error(t('file.start.copy-failed', { cause: (error as Error).message }))
    }
  }
  void copy()
  setInterval(copy, LOOK_FOR_DAY_MS).unref()
}

/** Asked before a book is opened, so that no empty one is left behind where the port is taken. */
function mustBeFree(host: string, port: number): Promise<void> {
  return new Promise((free, taken) => {
    const probe = createServer()
    probe.once('error', taken)
    probe.listen({ host, port }, () => probe.close(() => free()))
  })
}

interface Running {
  app: FastifyInstance
  db: Database
  giveBack(): void
  t: Translate
}

/**
 * Ends the book when it is told to: requests on their way are answered, the log is folded into the file, the book is given back.
 * Started by npm it also ends when npm does, so that no book goes on that nobody sees.
 */
function stopWhenTold({ app, db, giveBack, t }: Running): void {
  let stopping = false
  const stop = async () => {
    if (stopping) return
    stopping = true
    await Promise.race([app.close(), new Promise((done) => setTimeout(done, LONGEST_MS).unref())])
    await closeBook(db)
    giveBack()
    console.log(t('file.start.closed'))
    process.exit(0)
  }
  for (const signal of SIGNALS) process.on(signal, stop)
  const starters = startedBy()
  if (process.env.npm_lifecycle_event)
    setInterval(() => {
      if (startedBy() !== starters) void stop()
    }, LOOK_MS).unref()
}

/** The process that started this one and, where the machine tells (Linux), the one behind it: npm stands behind a shell. */
function startedBy(): string {
  const { ppid } = process
  try {
    // proc(5): after the name in brackets stand the state and the parent.
    const behind = readFileSync(`/proc/${ppid}/stat`, 'utf8').split(') ').at(-1)!.split(' ')[1]
    return `${ppid} ${behind}`
  } catch {
    return `${ppid}`
  }
}

/** One file that is one file: the log is folded in, and the mark goes that the book is in use. */
async function closeBook(db: Database): Promise<void> {
  await sql`pragma user_version = 0`.execute(db)
  await sql`pragma wal_checkpoint(truncate)`.execute(db)
  await db.destroy()
}
