import type { FastifyInstance, FastifyRequest } from 'fastify'
import type { Database } from '../database/connection.ts'
import { Thread } from '../reckoner/thread.ts'
import { publishedStarts } from '../rotation/published/store.ts'
import { HEAVY_DRAFTS, HEAVY_PAGES, SHOWN_HERE } from './heavy-pages.ts'
import type { Asked, BookThere, PageAnswer, PageAsked } from './pages-there.ts'

/** So long nobody may have asked for a heavy page: then its thread ends, and gives back what it takes. Own choice, no source. */
const IDLE_MS = 2 * 60_000

/** The thread that makes pages for which much is read; it is started by the first of them. */
export class PageThread {
  private readonly thread: Thread

  /** `reckoner` reckons for it, too. */
  constructor(reckoner: Thread, idleMs = IDLE_MS) {
    this.thread = new Thread('./page-thread', import.meta.url, { data: { idleMs }, helper: reckoner })
  }

  get runs(): boolean {
    return this.thread.runs
  }

  page(asked: PageAsked): Promise<PageAnswer> {
    return this.thread.ask('page', asked) as Promise<PageAnswer>
  }

  /** Reckons the weeks that are looked at next, where the thread runs. */
  async weeksAhead(asked: Asked): Promise<void> {
    if (this.runs) await this.thread.ask('weeksAhead', asked)
  }

  /** Lets go of a book's file. */
  async close(file: string): Promise<void> {
    if (this.runs) await this.thread.ask('close', file)
  }

  end(): Promise<void> {
    return this.thread.end()
  }
}

/** What belongs to one connection, and not to the page. */
const OF_CONNECTION = new Set(['connection', 'keep-alive', 'date', 'transfer-encoding', 'content-length'])

/**
 * Has the heavy pages of a book made on their thread; where that fails they are made here. While the machine's clock cannot be right they are made here
 * too, since only this app was told which day it is.
 */
export function passHeavyPages(
  app: FastifyInstance,
  { db, now, thread, book }: { db: Database; now: () => Date; thread: PageThread; book: BookThere },
): void {
  app.addHook('preHandler', async (request, reply) => {
    const { method, url, headers, ip, person, visit } = request
    if (method !== 'GET' || !person || visit.clock.doubt || !(await isHeavy(db, request))) return
    const asked = { book, machineAt: now().getTime(), url, headers, remoteAddress: ip }
    const answer = await thread
      .page(asked)
      .catch((error) => void request.log.error(error, 'a heavy page was made in place'))
    if (!answer) return
    for (const [name, value] of Object.entries(answer.headers))
      if (value !== undefined && !OF_CONNECTION.has(name)) reply.header(name, value)
    return reply.code(answer.status).send(Buffer.from(answer.body))
  })
}

async function isHeavy(db: Database, { routeOptions, params, query }: FastifyRequest): Promise<boolean> {
  if ([(query as { as?: string | string[] }).as].flat().includes(SHOWN_HERE)) return false
  const path = routeOptions.url ?? ''
  if (!HEAVY_DRAFTS.test(path)) return HEAVY_PAGES.has(path)
  const last = (await publishedStarts(db)).at(-1)
  return last === undefined || (params as { start: string }).start > last
}
