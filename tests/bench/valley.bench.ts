import type { FastifyInstance } from 'fastify'
import { loadExample, PASSWORD } from '../../seed/load.ts'
import { verifyBook } from '../../server/book/verify.ts'
import type { Database } from '../../server/database/connection.ts'
import { hashPassword } from '../../server/people/password.ts'
import { startSession } from '../../server/people/session/store.ts'
import { SESSION_COOKIE } from '../../server/web/pages/visit.ts'
import { CHEAP_HASHING, openBook } from '../support/book.ts'
import { VALLEY_TODAY } from '../support/load-valley.ts'
import { shown, timedMs } from './measure.ts'

const NOW = `${VALLEY_TODAY}T10:00:00Z`
const PAGES = ['/', '/turns/weeks/2026-11-23', '/turns/weeks/2026-11-30', '/water', '/log/balance', '/crops', '/log']
/** Each page is asked for again and again for so long. */
const ASKED_FOR_MS = 1500

/** The example valley: loading it, checking its chain, and how many pages of it a machine can serve. */
export async function run(): Promise<string[]> {
  const { app, db } = await openBook(NOW)
  const passwordHash = await hashPassword(PASSWORD, CHEAP_HASHING)
  const loading = await timedMs(() => loadExample(db, { today: VALLEY_TODAY, passwordHash }))
  const checking = await timedMs(() => verifyBook(db))
  if (checking.result.brokenAt) throw new Error('the chain of the example is broken')
  const cookie = await sessionOf(db, 'Amaru Tolle')
  const lines = []
  for (const path of PAGES) lines.push(await speedOf(app, path, cookie))
  await app.close()
  return [
    `loading the example valley: ${shown(loading.ms)} ms`,
    `checking its chain of ${checking.result.entries} entries: ${shown(checking.ms)} ms`,
    ...lines,
  ]
}

async function sessionOf(db: Database, name: string): Promise<string> {
  const { entryId } = await db.selectFrom('person').select('entryId').where('name', '=', name).executeTakeFirstOrThrow()
  return `${SESSION_COOKIE}=${await startSession(db, { personId: entryId, at: new Date(NOW), isShared: false })}`
}

async function speedOf(app: FastifyInstance, url: string, cookie: string): Promise<string> {
  const headers = { cookie, 'accept-encoding': 'gzip, deflate' }
  const first = await app.inject({ url, headers })
  if (first.statusCode !== 200) throw new Error(`${url} answers ${first.statusCode}`)
  const started = performance.now()
  let answers = 0
  for (; performance.now() - started < ASKED_FOR_MS; answers++) await app.inject({ url, headers })
  const perSecond = (1000 * answers) / (performance.now() - started)
  return `${url}: ${shown(perSecond)} pages a second, ${(first.rawPayload.length / 1000).toFixed(1)} kB each`
}
