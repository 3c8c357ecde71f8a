import { buildApp } from '../../server/app.ts'
import { type Database, openDatabase } from '../../server/database/connection.ts'
import { migrateToLatest } from '../../server/database/migrate.ts'
import { pagesOf, Rascal } from '../faults/nasty.ts'
import { routesOf } from '../support/addresses.ts'
import { CHEAP_HASHING } from '../support/hashing.ts'
import { VALLEY_TODAY } from '../support/load-valley.ts'
import { EVERYTHING, type Reader } from '../support/valley.ts'
import { linksOf } from '../support/walk.ts'

/** The first day of the week after that of the example's today: from then on nothing is published. */
const DRAFT_FROM = '2026-11-30'
const isOfDraft = (link: string) => (/\d{4}-\d\d-\d\d/.exec(link)?.[0] ?? '') >= DRAFT_FROM

interface Asked {
  /** The address as it is written down, and one of the book with ids in the place of its names. */
  path: string
  address: string
  /** What SQLite carried out for it while nothing was kept. */
  statements: string[]
}

/**
 * Every page that can be linked to, opened once by somebody with every office, and what each asked of the book; where `reader` has walked
 * a copy of it already, by the doors that were found there.
 */
export async function pagesOfBook(file: Buffer, reader?: Reader): Promise<{ db: Database; pages: Asked[] }> {
  let told: string[] = []
  const db = openDatabase(file, (statement) => told.push(statement))
  await migrateToLatest(db)
  const now = () => new Date(`${VALLEY_TODAY}T10:00:00Z`)
  const app = await buildApp({ db, now, claimCode: '246810', hashing: CHEAP_HASHING })
  await app.ready()
  const visitor = new Rascal(app)
  await visitor.signIn(EVERYTHING)
  const links = (await pagesOf<{ text: string }>(reader ?? visitor)).flatMap(({ text }) => linksOf(text))
  const linked = [...new Set(links.map((link) => link.split('?')[0]!))]
  const paths = routesOf(app.printRoutes({ commonPrefix: false }))
    .filter(({ method, path }) => method === 'GET' && !path.includes('*'))
    .map(({ path }) => path)
  const fixed = new Set(paths)
  const pages: Asked[] = []
  const open = async (path: string, address: string) => {
    await forgetAll(db)
    told = []
    const { status } = await visitor.open(address)
    if (status === 200) pages.push({ path, address, statements: [...told] })
  }
  for (const path of paths) {
    const pattern = new RegExp(`^${path.replace(/:\w+/g, '[^/]+')}$`)
    const addresses = linked.filter((link) => pattern.test(link) && (link === path || !fixed.has(link)))
    const drafted = addresses.find(isOfDraft)
    const address = addresses.find((link) => !isOfDraft(link)) ?? (path.includes(':') ? undefined : path)
    if (address) await open(path, address)
    // A week that is still worked out asks for more than one that was.
    if (drafted) await open(`${path}?draft`, drafted)
  }
  await app.close()
  return { db, pages }
}

/**
 * The book stands at another last entry, so that no answer of before is kept; nor is any row that was read, as writing that is taken back
 * leaves none standing. What SQLite made of the statements is kept, which asks nothing.
 */
async function forgetAll(db: Database): Promise<void> {
  const last = await db.selectFrom('entry').selectAll().orderBy('seq', 'desc').limit(1).executeTakeFirstOrThrow()
  const { seq, ...entry } = last
  const other = { ...entry, id: `x${seq}`, hash: `x${seq}`, formKey: null, correctsId: null }
  await db.insertInto('entry').values(other).execute()
  const takenBack = await db.startTransaction().execute()
  await takenBack.rollback().execute()
}
