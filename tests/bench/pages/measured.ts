import { gzipSync } from 'node:zlib'
import type { FastifyInstance } from 'fastify'
import { addDays } from '../../../domain/calendar.ts'
import { ROLES } from '../../../domain/people/permissions.ts'
import { weekStartOf } from '../../../domain/weeks.ts'
import { buildApp } from '../../../server/app.ts'
import { type Database, openDatabase } from '../../../server/database/connection.ts'
import { migrateToLatest } from '../../../server/database/migrate.ts'
import { currentGroup } from '../../../server/people/group/store.ts'
import { setRoles } from '../../../server/people/person/store.ts'
import { startSession } from '../../../server/people/session/store.ts'
import { addRequest } from '../../../server/rotation/request/store.ts'
import { pagesOf, Rascal } from '../../faults/nasty.ts'
import { routesOf } from '../../support/addresses.ts'
import { CHEAP_HASHING } from '../../support/hashing.ts'
import { VALLEY_TODAY } from '../../support/load-valley.ts'
import { timedMs } from '../measure.ts'

/** Each of the two pages is asked for again and again for so long. */
const ASKED_FOR_MS = 30
const DRAFTS = 3

export interface Measured {
  path: string
  /** One answer, and one of a static page with the same bytes through the same plugins. */
  ms: number
  staticMs: number
  /** On its way, compressed. */
  bytes: number
}

export async function measuredPages(file: Buffer) {
  const db = openDatabase(file)
  await migrateToLatest(db)
  const now = new Date(`${VALLEY_TODAY}T10:00:00Z`)
  const app = await buildApp({ db, now: () => now, claimCode: '246810', hashing: CHEAP_HASHING })
  let body = ''
  app.get('/as-long', (_request, reply) => reply.type('text/html; charset=utf-8').send(body))
  await app.ready()
  const headers = { cookie: await everyOffice(db, now), 'accept-encoding': 'gzip, deflate' }
  const speedOf = async (url: string) => {
    const started = performance.now()
    let answers = 0
    for (; answers < 3 || performance.now() - started < ASKED_FOR_MS; answers++) await app.inject({ url, headers })
    return (performance.now() - started) / answers
  }
  const pages: Measured[] = []
  for (const { path, address } of await addressesOf(app)) {
    const first = await app.inject({ url: address, headers: { cookie: headers.cookie } })
    if (first.statusCode !== 200 || !first.headers['content-type']?.toString().startsWith('text/html')) continue
    body = first.body
    const [ms, staticMs] = [await speedOf(address), await speedOf('/as-long')]
    pages.push({ path, ms, staticMs, bytes: gzipSync(first.body).length })
  }
  const draftMs = await draftsAfterWrites(db, app, headers)
  const megabytes = Math.round(process.memoryUsage.rss() / 1_000_000)
  await app.close()
  await db.destroy()
  return { pages, draftMs, megabytes }
}

/** A session of somebody with every office, as the cookie of a request. */
export async function everyOffice(db: Database, at: Date): Promise<string> {
  const { entryId: personId } = await db
    .selectFrom('person')
    .select('entryId')
    .where('signInName', '=', 'amaru')
    .executeTakeFirstOrThrow()
  const pen = { writtenBy: personId, writtenAt: at.toISOString() }
  await db.transaction().execute((trx) => setRoles({ trx, ...pen }, personId, ROLES, VALLEY_TODAY))
  return `commonweir_session=${await startSession(db, { personId, at, isShared: false })}`
}

/** Every kind of page with an address of the book. */
async function addressesOf(app: FastifyInstance): Promise<{ path: string; address: string }[]> {
  const rascal = new Rascal(app)
  await rascal.signIn('amaru')
  const links = (await pagesOf(rascal)).flatMap(({ html }) => html.querySelectorAll('a[href]'))
  const linked = [...new Set(links.map((link) => link.getAttribute('href')!.split(/[?#]/)[0]!))]
  const paths = routesOf(app.printRoutes({ commonPrefix: false }))
    .filter(({ method, path }) => method === 'GET' && !/\*|as-long/.test(path))
    .map(({ path }) => path)
  return paths.flatMap((path) => {
    const pattern = new RegExp(`^${path.replace(/:\w+/g, '[^/]+')}$`)
    const address = linked.find((link) => pattern.test(link) && (link === path || !paths.includes(link)))
    return address ? [{ path, address }] : path.includes(':') ? [] : [{ path, address: path }]
  })
}

/** Somebody asks for water, and the committee looks at the draft of the next week. */
async function draftsAfterWrites(db: Database, app: FastifyInstance, headers: Record<string, string>) {
  const group = (await currentGroup(db))!
  const weekStartOn = addDays(weekStartOf(VALLEY_TODAY, group), 7)
  const { entryId: plotId } = await db.selectFrom('plot').select('entryId').executeTakeFirstOrThrow()
  const { entryId: writtenBy } = await db.selectFrom('person').select('entryId').executeTakeFirstOrThrow()
  const taken: number[] = []
  for (let at = 1; at <= DRAFTS; at++) {
    const pen = { writtenBy, writtenAt: `${VALLEY_TODAY}T09:00:0${at}.000Z` }
    const request = { plotId, weekStartOn, volumeM3: 3 + at / 10, forPersonId: null }
    await db.transaction().execute((trx) => addRequest({ trx, ...pen }, request))
    const { ms } = await timedMs(() => app.inject({ url: `/turns/weeks/${weekStartOn}`, headers }))
    taken.push(ms)
  }
  return taken
}
