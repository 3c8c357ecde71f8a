import type { FastifyInstance } from 'fastify'
import { reckonWeeks } from '../ahead.ts'
import { buildApp } from '../app.ts'
import { type Database, openDatabase } from '../database/connection.ts'
import type { Given } from '../parts.ts'
import { loadLocale } from '../web/figures/locale.ts'

/** A book in its file, and how whoever serves it was told to. */
export interface BookThere extends Pick<Given, 'prefix' | 'trustedProxy' | 'isBehindTls'> {
  file: string
  language: string
}

export interface Asked {
  book: BookThere
  /** The moment of the machine's clock, in milliseconds. */
  machineAt: number
}

export interface PageAsked extends Asked {
  url: string
  headers: Record<string, string | string[] | undefined>
  remoteAddress: string
}

export interface PageAnswer {
  status: number
  headers: Record<string, number | string | string[] | undefined>
  body: Uint8Array
}

interface Open {
  app: FastifyInstance
  db: Database
}

/** Of a folder of books so many are open here. Own choice, no source. */
const MOST_OPEN = 3

const books = new Map<string, Promise<Open>>()
let now = new Date()

/** What the thread for pages is asked. It reads each book through a connection of its own, and sees what is written through the other. */
export const PAGES_THERE = {
  async page({ book, machineAt, url, headers, remoteAddress }: PageAsked): Promise<PageAnswer> {
    now = new Date(machineAt)
    const { app } = await take(book)
    const answer = await app.inject({ method: 'GET', url, headers, remoteAddress })
    return { status: answer.statusCode, headers: answer.headers, body: answer.rawPayload }
  },
  async weeksAhead({ book, machineAt }: Asked) {
    now = new Date(machineAt)
    await reckonWeeks((await take(book)).db, now)
  },
  close,
}

export type PagesThere = typeof PAGES_THERE

async function take(book: BookThere): Promise<Open> {
  const open = books.get(book.file) ?? opened(book)
  books.delete(book.file)
  books.set(book.file, open)
  for (const oldest of books.keys()) if (books.size > MOST_OPEN) await close(oldest)
  return open
}

async function opened({ file, language, ...given }: BookThere): Promise<Open> {
  const db = openDatabase(file)
  const app = await buildApp({ ...given, db, now: () => now, claimCode: '', locale: loadLocale(language), log: true })
  await app.ready()
  return { app, db }
}

export async function closeAll(): Promise<void> {
  await Promise.all([...books.keys()].map(close))
}

async function close(file: string): Promise<void> {
  const open = await books.get(file)
  books.delete(file)
  await open?.app.close()
  await open?.db.destroy()
}
