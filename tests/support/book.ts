import { AsyncLocalStorage } from 'node:async_hooks'
import type { RequestListener } from 'node:http'
import type { FastifyInstance } from 'fastify'
import type { InjectOptions, Response } from 'light-my-request'
import { buildApp } from '../../server/app.ts'
import { type Database, openDatabase } from '../../server/database/connection.ts'
import { migrateToLatest } from '../../server/database/migrate.ts'
import type { Given } from '../../server/parts.ts'
import { CHEAP_HASHING } from './hashing.ts'
import { bookOnPostgres, onPostgres } from './postgres/book.ts'
import { serialized } from './serialized.ts'
import { Visitor } from './visitor.ts'

export const CLAIM_CODE = '246810'
export { CHEAP_HASHING }

export interface TestBook {
  /** An app of its own, which is built when somebody first asks for it; visitors are served without it. */
  ready(): Promise<FastifyInstance>
  /** The routes, asked without a socket. */
  routes(): Promise<Routes>
  db: Database
  /** What the clock of the app says. */
  now(): Date
  /** Moves it. */
  setNow(instant: string): void
  visitor(): Visitor
}

/** A book in memory with a clock of its own: fresh, or a copy of one that was kept. */
export async function openBook(
  instant = '2026-06-04T05:00:00Z',
  kept?: Buffer,
  given: Partial<Given> = {},
): Promise<TestBook> {
  const db = onPostgres ? await bookOnPostgres(kept) : await bookInMemory(kept)
  let at = new Date(instant)
  const own = { ...USUAL, db, now: () => at, ...given }
  let app: Promise<FastifyInstance> | undefined
  const ready = () => (app ??= builtApp(own))
  const amongAll = Object.keys(given).length === 0
  return {
    ready,
    db,
    now: () => at,
    setNow: (text) => {
      at = new Date(text)
    },
    routes: () => (amongAll ? routesOfAll(own) : ready()),
    visitor: () =>
      new Visitor(amongAll ? askedOfAll(own) : async (request, response) => (await ready()).routing(request, response)),
  }
}

const USUAL = { claimCode: CLAIM_CODE, hashing: CHEAP_HASHING, log: true, wait: async () => {} }

/** Of which book a request asks: routes take longer to make than most books of tests live, so each worker makes them once for all. */
const asked = new AsyncLocalStorage<Given>()
const WHICHEVER: Given = {
  ...USUAL,
  get db() {
    return asked.getStore()!.db
  },
  now: () => asked.getStore()!.now(),
}
let builtOfAll: Promise<FastifyInstance> | undefined
const appOfAll = () => (builtOfAll ??= builtApp(WHICHEVER))

export interface Routes {
  inject(request: InjectOptions): Promise<Response>
  printRoutes: FastifyInstance['printRoutes']
}

async function routesOfAll(own: Given): Promise<Routes> {
  const app = await appOfAll()
  return {
    // Awaited inside: asked for, it is sent only then.
    inject: (request) => asked.run(own, async () => await app.inject(request)),
    printRoutes: (options) => app.printRoutes(options),
  }
}

function askedOfAll(own: Given): RequestListener {
  return async (request, response) => {
    const { routing } = await appOfAll()
    // What is sent comes in on behalf of the socket, which knows of no book.
    const emit = request.emit.bind(request)
    request.emit = (...event: Parameters<typeof emit>) => asked.run(own, () => emit(...event))
    asked.run(own, () => routing(request, response))
  }
}

async function builtApp(given: Given): Promise<FastifyInstance> {
  const app = await buildApp(given)
  await app.ready()
  return app
}

async function bookInMemory(kept?: Buffer): Promise<Database> {
  if (!kept) return openEmpty()
  const db = openDatabase(kept)
  if (!ofNow.has(kept)) await migrateToLatest(db)
  return db
}

/** A file of SQLite in memory that has taken every step, and in which nothing is written yet. */
export async function openEmpty(): Promise<Database> {
  emptyBook ??= takeEveryStep()
  return openDatabase(await emptyBook)
}

/** Books that were made in this run, which have taken every step. */
const ofNow = new WeakSet<Buffer>()

export function newest(file: Buffer): Buffer {
  ofNow.add(file)
  return file
}

/** The file of a book in which nothing is written yet: every migration takes its step once for all tests of a worker. */
let emptyBook: Promise<Buffer> | undefined

async function takeEveryStep(): Promise<Buffer> {
  const db = openDatabase(':memory:')
  await migrateToLatest(db)
  const file = await serialized(db)
  await db.destroy()
  return file
}

export const OWN_GROUP = {
  code: CLAIM_CODE,
  name: 'Upper Ford group',
  latitude: '-1.5',
  longitude: '38',
  elevation: '1000',
  timeZone: 'Africa/Nairobi',
  currency: 'KES',
  firstWeekday: '1',
  seasonStart: '2026-06-01',
  seasonEnd: '2026-10-31',
  personName: 'Ada',
  signInName: 'ada',
  password: 'a long enough word',
}

type Started = TestBook & { ada: Visitor }

interface Begun<Ids> {
  file: Buffer
  cookies: string[]
  ids: Ids
}

const begun = new Map<string, Promise<Begun<unknown>>>()

/**
 * A book of its own that many tests begin with: made once by each worker, with `ada` signed in, and copied for each test. `ids` names
 * what was written into it. Not for tests that set two books beside each other: copies are books of one group.
 */
export async function begunBook<Ids>(
  name: string,
  instant: string,
  begin: (book: Started) => Promise<Ids>,
): Promise<Started & { ids: Ids }> {
  if (onPostgres) {
    const book = await startedBook(instant)
    return { ...book, ids: await begin(book) }
  }
  const known = begun.get(name) ?? keptAfter(instant, begin)
  begun.set(name, known)
  const { file, cookies, ids } = (await known) as Begun<Ids>
  const book = await openBook(instant, file)
  const ada = book.visitor()
  ada.takeCookies(cookies)
  return { ...book, ada, ids: structuredClone(ids) }
}

async function keptAfter<Ids>(instant: string, begin: (book: Started) => Promise<Ids>): Promise<Begun<Ids>> {
  const book = await startedBook(instant)
  const ids = await begin(book)
  const file = newest(await serialized(book.db))
  const cookies = book.ada.cookies()
  await book.db.destroy()
  return { file, cookies, ids }
}

/** A book that has been started, with its first committee member signed in. */
export async function startedBook(
  instant?: string,
  group: Partial<typeof OWN_GROUP> = {},
  more: Partial<Given> = {},
): Promise<Started> {
  const book = await openBook(instant, undefined, more)
  const ada = book.visitor()
  await ada.fill('/start', { ...OWN_GROUP, ...group })
  return { ...book, ada }
}
