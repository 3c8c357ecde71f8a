import type { FastifyReply, FastifyRequest } from 'fastify'
import { newId } from '../book/entries.ts'
import { type Database, markOf } from '../database/connection.ts'

/** What people open every day and come back to from its doors. Whatever hangs on anything beside the book, its reader and the minute has no place here. */
const DAILY = new Set([
  '/',
  '/turns/weeks/:start',
  '/turns/weeks/:start/sheet',
  '/turns/:id',
  '/turns/plots/:id',
  '/log/days/:on',
  '/water',
  '/water/went',
  '/money',
  '/money/members/:personId',
])

/** Of one book; a folder of them keeps thirty open. Own choice, no source. */
const MOST_SIGNS = 2_000_000

/** Stand in a page where each showing has keys of its own; nobody can guess them, so that they never stand in what somebody wrote. */
export const KEY_OF_SESSION = `session-${newId()}${newId()}`
export const KEY_OF_FORM = `form-${newId()}${newId()}`

interface Kept {
  mark: string
  signs: number
  pages: Map<string, string>
}

const books = new WeakMap<Database, Kept>()

/**
 * A page of every day as it was shown to the same reader in the same minute, as long as nobody wrote anything since; otherwise what `answer` makes of it. Whoever
 * taps “Back” does not wait for what was just worked out.
 */
export async function keptOr(
  db: Database,
  { request, reply }: { request: FastifyRequest; reply: FastifyReply },
  answer: () => unknown,
): Promise<unknown> {
  const [mark, key] = [markOf(db), keyOf(request)]
  if (mark === undefined || key === null) return answer()
  const known = booksNow(db, mark).pages.get(key)
  if (known !== undefined) {
    reply.type('text/html; charset=utf-8')
    return withKeys(known, reply)
  }
  request.keepPage = (html) => {
    // What was written meanwhile may stand in half of the page.
    if (reply.statusCode === 200 && markOf(db) === mark) keep(booksNow(db, mark), key, html)
  }
  return answer()
}

/** The page with the keys of one showing: one of the session, and for each form its own, so that two forms of one page are two acts. */
export function withKeys(html: string, reply: FastifyReply): string {
  return html.replaceAll(KEY_OF_SESSION, reply.generateCsrf()).replaceAll(KEY_OF_FORM, () => newId())
}

/** All that a page hangs on beside the book; null for what is not kept. */
function keyOf({ url, headers, ip, person, visit, routeOptions }: FastifyRequest): string | null {
  if (!person || visit.clock.doubt || !DAILY.has(routeOptions.url ?? '')) return null
  const minute = visit.clock.readAt.toISOString().slice(0, 16)
  return JSON.stringify([url, person.id, minute, headers.cookie, headers['accept-language'], headers.host, ip])
}

function booksNow(db: Database, mark: string): Kept {
  const known = books.get(db)
  if (known?.mark === mark) return known
  const empty = { mark, signs: 0, pages: new Map() }
  books.set(db, empty)
  return empty
}

/** The one that was made longest ago goes first. */
function keep(book: Kept, key: string, html: string): void {
  book.pages.set(key, html)
  book.signs += html.length
  for (const [oldest, { length }] of book.pages) {
    if (book.signs <= MOST_SIGNS) return
    book.pages.delete(oldest)
    book.signs -= length
  }
}

declare module 'fastify' {
  interface FastifyRequest {
    /** Takes a page before its keys stand in it, where it is one that is kept. */
    keepPage: ((html: string) => void) | null
  }
}
