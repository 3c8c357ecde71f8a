import { createHash } from 'node:crypto'
import { existsSync, readFileSync, renameSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import type { Id } from '../../domain/id.ts'
import { ROLES } from '../../domain/people/permissions.ts'
import { type Database, openDatabase } from '../../server/database/connection.ts'
import { findSignIn, setRoles } from '../../server/people/person/store.ts'
import { setHolders } from '../../server/people/plot/store.ts'
import { startSession } from '../../server/people/session/store.ts'
import { newest, openBook, type Routes, type TestBook } from './book.ts'
import { onceInRun, runFolder, VALLEY_TODAY, valleyFile } from './load-valley.ts'
import { serialized } from './serialized.ts'
import { type Seen, seen, type Visitor } from './visitor.ts'

export { VALLEY_TODAY } from './load-valley.ts'

/** The bytes of its file, read once by each worker. It was loaded in this run, so that no step is left to be taken. */
let bytes: Promise<Buffer> | undefined
const valleyBytes = () => (bytes ??= valleyFile().then((file) => newest(readFileSync(file))))

type Valley = TestBook & { app: Routes; signIn(name: string): Promise<Visitor> }

/**
 * The example valley in memory, on a Wednesday in the middle of its season. Whoever signs in stands behind the door at once: the
 * form there has tests of its own, and the first page behind it is reckoned only for those that look at it.
 */
export async function openValley(day: string = VALLEY_TODAY): Promise<Valley> {
  return openCopy(await valleyBytes(), day)
}

/** The same on that Wednesday, in which `EVERYTHING` holds every office at once, and so reaches every page and form. */
export async function openEveryOffice(): Promise<Valley> {
  return openCopy(newest(await everyOffice()), VALLEY_TODAY)
}

/** Who holds every office there. */
export const EVERYTHING = 'amaru'

let officeBytes: Promise<Buffer> | undefined
/** Its file, written once for the whole run, so that what has an id has the same one in each copy. */
export const everyOffice = (): Promise<Buffer> => (officeBytes ??= isPlanted ? withEveryOffice() : everyOfficeOnce())

async function everyOfficeOnce(): Promise<Buffer> {
  return readFileSync(await onceInRun('every-office', async (part) => writeFileSync(part, await withEveryOffice())))
}

async function withEveryOffice(): Promise<Buffer> {
  const db = openDatabase(await valleyBytes())
  await giveEveryOffice(db)
  const file = await serialized(db)
  await db.destroy()
  return file
}

export async function giveEveryOffice(db: Database): Promise<void> {
  const { id } = (await findSignIn(db, EVERYTHING))!
  const writtenAt = `${VALLEY_TODAY}T09:00:00.000Z`
  await db.transaction().execute((trx) => setRoles({ trx, writtenBy: id, writtenAt }, id, ROLES, VALLEY_TODAY))
}

async function openCopy(bytes: Buffer, day: string): Promise<Valley> {
  const book = await openBook(`${day}T10:00:00Z`, bytes)
  return {
    ...book,
    app: await book.routes(),
    signIn: async (signInName) => {
      const { id } = (await findSignIn(book.db, signInName))!
      const key = await startSession(book.db, { personId: id, at: book.now(), isShared: false })
      const visitor = book.visitor()
      visitor.takeCookies([`commonweir_session=${key}; domain=127.0.0.1; path=/`])
      return visitor
    },
  }
}

/** Somebody who only opens pages. */
export type Reader = Pick<Visitor, 'open'>

/** Planted changes answer otherwise each time, and nothing of theirs is kept from one run to the next. */
const isPlanted = process.env.PLANTED_CHANGES !== undefined

const OPEN = { untouched: openValley, 'every office': openEveryOffice }
type Copy = keyof typeof OPEN

const copies = new Map<Copy, Promise<Valley>>()
const signedIn = new Map<string, Promise<Visitor>>()

/**
 * Somebody who only reads the valley, of which nothing is written in between: each page is answered once for the whole run, whichever
 * test of whichever worker asks.
 */
export function readerOfValley(signInName: string): Promise<Reader> {
  return readerOf('untouched', signInName)
}

/** The same for whoever holds every office. */
export function readerOfEveryOffice(): Promise<Reader> {
  return readerOf('every office', EVERYTHING)
}

async function readerOf(copy: Copy, signInName: string): Promise<Reader> {
  if (isPlanted) return (await OPEN[copy]()).signIn(signInName)
  return { open: (path) => answerOnce(copy, signInName, path) }
}

async function answerOnce(copy: Copy, signInName: string, path: string): Promise<Seen> {
  const key = createHash('sha256').update(`${copy} ${signInName} ${path}`).digest('hex')
  const file = join(runFolder(), `${key}.json`)
  if (!existsSync(file)) {
    const answer = await (await signedInOnce(copy, signInName)).open(path)
    const part = `${file}.${process.pid}`
    writeFileSync(part, JSON.stringify([answer.status, answer.path, answer.text]))
    renameSync(part, file)
  }
  return seen(...(JSON.parse(readFileSync(file, 'utf8')) as [status: number, path: string, text: string]))
}

function signedInOnce(copy: Copy, signInName: string): Promise<Visitor> {
  const valley = copies.get(copy) ?? OPEN[copy]()
  copies.set(copy, valley)
  const key = `${copy} ${signInName}`
  const known = signedIn.get(key) ?? valley.then((one) => one.signIn(signInName))
  signedIn.set(key, known)
  return known
}

/** Who holds a plot from today on, as if it had been written before the week was published: by form nobody loses a plot within one. */
export async function holdFromToday(db: Database, plotId: Id<'plot'>, holderIds: readonly string[]): Promise<void> {
  const { entryId: writtenBy } = await db
    .selectFrom('person')
    .select('entryId')
    .where('signInName', '=', 'amaru')
    .executeTakeFirstOrThrow()
  const writtenAt = `${VALLEY_TODAY}T09:00:00.000Z`
  await db.transaction().execute((trx) => setHolders({ trx, writtenBy, writtenAt }, plotId, holderIds, VALLEY_TODAY))
}

/** Another officer of the committee puts a name under whatever a week is reckoned by. */
export async function namedBasis(
  { signIn }: { signIn(name: string): Promise<Visitor> },
  start: string,
  name = 'besi',
): Promise<void> {
  const officer = await signIn(name)
  await officer.send(await officer.open(`/turns/weeks/${start}/publish`), {}, `/turns/names/basis/${start}`)
}
