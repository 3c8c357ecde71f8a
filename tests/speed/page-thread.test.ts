import { copyFileSync, mkdtempSync, readFileSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import type { FastifyInstance } from 'fastify'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { buildApp } from '../../server/app.ts'
import { askToJoin, dropFile, keepFile } from '../../server/book/joining/waiting-file.ts'
import { type Database, openDatabase } from '../../server/database/connection.ts'
import { migrateToLatest } from '../../server/database/migrate.ts'
import { findSignIn } from '../../server/people/person/store.ts'
import { reckoningThread } from '../../server/reckoner/elsewhere.ts'
import { HEAVY_PAGES } from '../../server/start/heavy-pages.ts'
import { PageThread, passHeavyPages } from '../../server/start/pages-elsewhere.ts'
import { CHEAP_HASHING } from '../support/hashing.ts'
import { VALLEY_TODAY, valleyFile } from '../support/load-valley.ts'
import { type Seen, Visitor } from '../support/visitor.ts'

const DRAFT = '/turns/weeks/2026-12-07'
const PASSWORD = 'practice valley'
const folder = mkdtempSync(join(tmpdir(), 'commonweir-pages-'))
const file = join(folder, 'valley.sqlite')
const reckoner = reckoningThread()
const thread = new PageThread(reckoner)
let at = new Date(`${VALLEY_TODAY}T10:00:00Z`)
const now = () => at

let db: Database
let passing: FastifyInstance
let inPlace: FastifyInstance
/** What this thread asked of the book. */
let told: string[] = []

beforeAll(async () => {
  copyFileSync(await valleyFile(), file)
  db = openDatabase(file, (statement) => told.push(statement))
  await migrateToLatest(db)
  const given = { db, now, claimCode: '246810', hashing: CHEAP_HASHING }
  inPlace = await buildApp(given)
  passing = await buildApp(given)
  passHeavyPages(passing, { db, now, thread, book: { file, language: 'en' } })
  await Promise.all([inPlace.ready(), passing.ready()])
})

afterAll(async () => {
  await Promise.all([inPlace.close(), passing.close(), thread.end(), reckoner.end()])
  await db.destroy()
  rmSync(folder, { recursive: true })
})

/** The page without the keys of its forms, which no two showings have in common. */
const withoutKeys = (text: string) => text.replace(/(name="_(?:csrf|form)" value=")[^"]+/g, '$1')

/** Looks again where it is told that something is still being reckoned: a slow machine takes its time. */
class Patient extends Visitor {
  override async open(path: string): Promise<Seen> {
    const seen = await super.open(path)
    return seen.status === 503 ? this.open(path) : seen
  }
}

async function signedIn(name: string): Promise<{ there: Visitor; here: Visitor }> {
  const [there, here] = [new Patient(passing.server), new Visitor(inPlace.server)]
  await there.fill('/sign-in', { signInName: name, password: PASSWORD })
  here.takeCookies(there.cookies())
  return { there, here }
}

describe('a page that is made on a thread of its own', () => {
  it('is the same to the last letter for whoever may see it, and as closed to who may not', async () => {
    for (const name of ['amaru', 'isko']) {
      const { there, here } = await signedIn(name)
      for (const path of [DRAFT, `${DRAFT}/compare`, ...[...HEAVY_PAGES].filter((one) => !one.includes(':'))]) {
        const [one, other] = [await there.open(path), await here.open(path)]
        expect([path, one.status, withoutKeys(one.text)]).toEqual([path, other.status, withoutKeys(other.text)])
      }
    }
    expect((await new Visitor(passing.server).open(DRAFT)).path).toMatch(/^\/sign-in/)
  })

  it('asks this thread for nothing but who looks', async () => {
    const { there } = await signedIn('amaru')
    await there.open(DRAFT)
    await there.fill('/crops/weather/new', { onDate: VALLEY_TODAY, tmaxC: '31', tminC: '17', rainMm: '0' })
    told = []
    expect((await there.open(DRAFT)).status).toBe(200)
    expect(told.length).toBeLessThan(12)
  })

  it('has what takes long reckoned by the same thread as everybody, and starts no other', async () => {
    const { there } = await signedIn('amaru')
    await reckoner.end()
    expect((await there.open('/turns/weeks/2026-12-28')).status).toBe(200)
    expect(reckoner.runs).toBe(true)
  })

  it('shows what was just written, and its forms write', async () => {
    const { there } = await signedIn('amaru')
    const before = await there.open(DRAFT)
    expect(before.words).not.toContain('a feast at the lower weir')
    const chosen = { rule: 'equal-small-first', reason: 'a feast at the lower weir' }
    expect((await there.fill(`${DRAFT}/compare`, chosen)).status).toBe(200)
    expect((await there.open(DRAFT)).words).toContain('a feast at the lower weir')
  })

  it('is made here where a file waits to be joined, which is kept in the memory of this process alone', async () => {
    const { there } = await signedIn('besi')
    const bringer = (await findSignIn(db, 'amaru'))!.id
    const key = keepFile({ db, at }, { bytes: readFileSync(await valleyFile()), personId: bringer })
    askToJoin({ db, at }, key)
    const waits = await there.open('/log/check?as=joined')
    expect(waits.words).toContain('Amaru Tolle')
    expect(waits.html.querySelector('main form')).not.toBeNull()
    dropFile({ db, at }, key)
  })

  it('is made here where the thread ends', async () => {
    const { there, here } = await signedIn('besi')
    const asked = there.open(`${DRAFT}/compare`)
    await thread.end()
    const shown = await asked
    expect([shown.status, withoutKeys(shown.text)]).toEqual([
      200,
      withoutKeys((await here.open(`${DRAFT}/compare`)).text),
    ])
  })

  it('leaves no thread behind where nobody asks for long', async () => {
    const brief = new PageThread(reckoner, 1)
    const answer = await brief.page({
      book: { file, language: 'en' },
      machineAt: at.getTime(),
      url: '/',
      headers: {},
      remoteAddress: '127.0.0.1',
    })
    expect(answer.status).toBe(303)
    while (brief.runs) await new Promise((turn) => setTimeout(turn, 10))
  })

  it('is made here while the clock is in doubt', async () => {
    const { there } = await signedIn('elu')
    at = new Date('2001-01-01T10:00:00Z')
    expect((await there.open('/water/lasts')).words).toContain('clock')
    expect(thread.runs).toBe(false)
  })
})
