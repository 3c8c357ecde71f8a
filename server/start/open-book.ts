import { existsSync } from 'node:fs'
import { dirname, resolve } from 'node:path'
import type { FastifyInstance } from 'fastify'
import { sql } from 'kysely'
import { reckonAhead } from '../ahead.ts'
import { buildApp } from '../app.ts'
import { type Database, openDatabase } from '../database/connection.ts'
import { booksBeside, isMarkedInUse, logBeside, mustBeBook, whatLies } from '../database/file/book-file.ts'
import { copiesOf, keepCopies } from '../database/file/keep-copies.ts'
import { holdAlone } from '../database/file/one-program.ts'
import { BookProblem } from '../database/file/problem.ts'
import { writeCopy } from '../database/file/write-copy.ts'
import { migrateToLatest, stepsOf } from '../database/migrate.ts'
import type { Given } from '../parts.ts'
import { newClaimCode } from '../people/first-run/claim-code.ts'
import { bookIsEmpty } from '../people/group/store.ts'
import type { Settings } from '../settings.ts'
import { isPostgresAddress } from '../settings.ts'
import { loadLocale, type Translate } from '../web/figures/locale.ts'
import { type PageThread, passHeavyPages } from './pages-elsewhere.ts'
import { tellBook } from './tell.ts'

type Say = (sentence: string) => void

/** A file that this program holds alone, before it is opened. */
interface Held {
  settings: Settings
  /** What was seen of the file, as keys of the catalogue. */
  seen: string[]
  giveBack(): void
}

export interface OpenBook {
  app: FastifyInstance
  db: Database
  /** What was seen, what the book holds, and the code that starts an empty one. */
  tell(say: Say): Promise<void>
  /** Folds the log into the file and gives the book back; nobody may be asking any more. */
  close(): Promise<void>
}

/** Looks at what may stop a start first, so that nothing is made or changed where it stops. Throws BookProblem. */
export function holdBook(settings: Settings): Held {
  // A server's book is held, and told about, when it is opened.
  if (isPostgresAddress(settings.DATABASE)) return { settings, seen: [], giveBack: () => {} }
  const seen = seenBefore(settings)
  return { settings, seen, giveBack: holdAlone(settings.DATABASE) }
}

const now = () => new Date()

/** Opens a book that is held and brings it up to date; where that fails, it is given back. */
export async function openBook(
  { settings, seen, giveBack }: Held,
  { thread, ...given }: Pick<Given, 'phones' | 'practice' | 'prefix'> & { thread: PageThread },
  say: Say,
): Promise<OpenBook> {
  const { DATABASE, TRUSTED_PROXY, BEHIND_TLS, IDLE_HOURS } = settings
  const locale = loadLocale(settings.BOOK_LANGUAGE)
  const { t } = locale
  let opened: Opened | undefined
  try {
    opened = isPostgresAddress(DATABASE) ? await openThere(DATABASE, { t, say }) : openFile(DATABASE)
    const { db: book, close } = opened
    if (!isPostgresAddress(DATABASE)) await bringUpToDate(book, { DATABASE, t, say })
    const claimCode = newClaimCode()
    const told = { trustedProxy: TRUSTED_PROXY, isBehindTls: BEHIND_TLS !== false }
    const app = await buildApp({
      db: book,
      now,
      claimCode,
      locale,
      log: true,
      copies: copiesOf(settings),
      ...told,
      idleMinutes: IDLE_HOURS * 60,
      ...given,
    })
    const there = { file: DATABASE, language: settings.BOOK_LANGUAGE, prefix: given.prefix, ...told }
    if (!isPostgresAddress(DATABASE)) passHeavyPages(app, { db: book, now, thread, book: there })
    reckonAhead(app, {
      db: book,
      now,
      there: (at) => thread.weeksAhead({ book: there, machineAt: at.getTime() }),
    })
    await app.ready()
    const stopCopies = keepCopies(book, settings, { t, say })
    return {
      app,
      db: book,
      tell: async (say) => {
        for (const key of seen) say(t(key))
        await tellBook(book, { place: DATABASE, t, say })
        if (await bookIsEmpty(book))
          say(`The book is empty. To start it, the first page asks for this code: ${claimCode}`)
      },
      close: async () => {
        stopCopies()
        await thread.close(DATABASE)
        await close()
        giveBack()
      },
    }
  } catch (error) {
    await opened?.db.destroy().catch(() => {})
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

type Opening = Pick<Settings, 'DATABASE'> & { t: Translate; say: Say }

async function bringUpToDate(db: Database, { DATABASE, t, say }: Opening): Promise<void> {
  const { taken, known } = await stepsOf(db)
  const beyond = taken.find((name) => !known.includes(name))
  if (beyond) throw new BookProblem('newer', { place: DATABASE, step: beyond, own: known.at(-1)! })
  if (taken.length > 0 && taken.length < known.length) {
    const copy = DATABASE.replace(/(\.sqlite)?$/, `-before-${known.at(-1)}.sqlite`)
    if (!existsSync(copy)) await writeCopy(db, copy)
    say(t('file.start.before-steps', { copy, steps: known.length - taken.length }))
  }
  await migrateToLatest(db)
  await sql`pragma user_version = 1`.execute(db)
  await sql`pragma wal_checkpoint(truncate)`.execute(db)
}

interface Opened {
  db: Database
  close(): Promise<void>
}

function openFile(place: string): Opened {
  const db = openDatabase(place)
  return { db, close: () => closeBook(db) }
}

/** Only who keeps a book on a server loads what speaks to one. */
async function openThere(place: string, { t, say }: { t: Translate; say: Say }): Promise<Opened> {
  const { openHeldBook } = await import('../database/postgres/open-book.ts')
  const held = await openHeldBook(place)
  if (!held.hasWriter) say(t('file.no-writer'))
  return held
}

/** One file that is one file: the log is folded in, and the mark goes that the book is in use. */
async function closeBook(db: Database): Promise<void> {
  await sql`pragma user_version = 0`.execute(db)
  await sql`pragma wal_checkpoint(truncate)`.execute(db)
  await db.destroy()
}
