import { beforeAll, describe, expect, it } from 'vitest'
import { loadExample } from '../../seed/load.ts'
import { verifyBook } from '../../server/database/verify.ts'
import { openBook, type TestBook } from '../support/book.ts'
import { openValley, VALLEY_TODAY } from '../support/valley.ts'
import type { Seen, Visitor } from '../support/visitor.ts'

let valley: Awaited<ReturnType<typeof openValley>>
beforeAll(async () => {
  valley = await openValley()
})

/** Every page of one kind looks alike, so a few of each are walked. */
const PAGES_OF_A_KIND = 4

describe('the example valley', () => {
  it('is opened from the first page of an empty book, once, and names its sign-ins', async () => {
    const book = await openBook('2026-11-25T10:00:00Z')
    const visitor = book.visitor()
    const page = await visitor.send(await visitor.open('/'), {}, '/example-book')
    expect(page.path).toBe('/example-book')
    expect(page.words).toContain('amaru')
    expect((await visitor.open('/session/new')).status).toBe(200)
    expect((await book.visitor().open('/book/new')).status).toBe(409)
  })

  it('has the size of a real group and a chain that verifies', async () => {
    const count = async (table: 'weir' | 'pump' | 'plot' | 'outlet' | 'person' | 'published_week') =>
      (await valley.db.selectFrom(table).select('entry_id').execute()).length
    expect(await count('weir')).toBe(4)
    expect(await count('pump')).toBe(3)
    expect(await count('plot')).toBe(40)
    expect(await count('outlet')).toBe(24)
    expect(await count('person')).toBeGreaterThanOrEqual(28)
    expect(await count('published_week')).toBe(17)
    expect((await verifyBook(valley.db)).brokenAt).toBeNull()
  })

  it('is the same each time it is loaded', async () => {
    const again = await openBook('2026-11-25T10:00:00Z')
    await loadExample(again.db, { today: VALLEY_TODAY, passwordHash: 'not needed here' })
    const turns = (book: TestBook) => book.db.selectFrom('turn').selectAll().orderBy('id').execute()
    expect(await turns(again)).toEqual(await turns(valley))
  })

  it.each(['amaru', 'dovi', 'fanta', 'goro', 'hila', 'isko'])('opens every door that it shows to %s', async (name) => {
    const visitor = await valley.signIn(name)
    const seen = await walk(visitor)
    expect(seen.length).toBeGreaterThan(10)
    const faults = seen.filter((page) => page.status !== 200 || /undefined|NaN|\[object|Infinity/.test(page.words))
    expect(faults.map((page) => `${page.path} ${page.status} ${page.words.slice(0, 200)}`)).toEqual([])
  })
})

async function walk(visitor: Visitor): Promise<Seen[]> {
  const queue = ['/']
  const known = new Set(queue)
  const kinds = new Map<string, number>()
  const seen: Seen[] = []
  for (let path = queue.shift(); path !== undefined; path = queue.shift()) {
    const page = await visitor.open(path)
    seen.push(page)
    for (const link of page.html.querySelectorAll('a[href]')) {
      const target = link.getAttribute('href')!.replaceAll('&amp;', '&').split('#')[0]!
      if (!target.startsWith('/') || known.has(target)) continue
      known.add(target)
      const kind = kindOf(target)
      kinds.set(kind, (kinds.get(kind) ?? 0) + 1)
      if (kinds.get(kind)! <= PAGES_OF_A_KIND) queue.push(target)
    }
  }
  return seen
}

/** The address without its ids, dates and numbers. */
function kindOf(path: string): string {
  return path
    .split('/')
    .map((part) => part.replace(/^[A-Za-z0-9]{16}(?=$|\?)/, '*').replace(/\d{4}-\d{2}-\d{2}[-\w]*/g, '*'))
    .join('/')
    .replace(/=[^&]*/g, '=*')
    .replace(/\d+/g, '*')
}
