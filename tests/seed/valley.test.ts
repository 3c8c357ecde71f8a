import { beforeAll, describe, expect, it } from 'vitest'
import { verifyBook } from '../../server/book/verify.ts'
import { openBook, type TestBook } from '../support/book.ts'
import { openValley, readerOfValley } from '../support/valley.ts'
import { walk } from '../support/walk.ts'

let valley: Awaited<ReturnType<typeof openValley>>
/** The example once more, loaded on the same day by whoever asked for it on the first page. */
let again: TestBook
beforeAll(async () => {
  valley = await openValley()
  again = await openBook('2026-11-25T10:00:00Z')
})

describe('the example valley', () => {
  it('is opened from the first page of an empty book, once, and names its sign-ins', async () => {
    const visitor = again.visitor()
    const page = await visitor.send(await visitor.open('/'), {}, '/start?as=example')
    expect(page.path).toBe('/sign-in?as=example')
    expect(page.words).toContain('amaru')
    expect((await visitor.open('/sign-in')).status).toBe(200)
    expect((await again.visitor().open('/start')).status).toBe(409)
  })

  it('has the size of a real group and a chain that verifies', async () => {
    const count = async (table: 'weir' | 'pump' | 'plot' | 'outlet' | 'person' | 'publishedWeek') =>
      (await valley.db.selectFrom(table).select('entryId').execute()).length
    expect(await count('weir')).toBe(4)
    expect(await count('pump')).toBe(3)
    expect(await count('plot')).toBe(40)
    expect(await count('outlet')).toBe(24)
    expect(await count('person')).toBeGreaterThanOrEqual(28)
    expect(await count('publishedWeek')).toBe(17)
    expect((await verifyBook(valley.db)).brokenAt).toBeNull()
  })

  it('is the same each time it is loaded', async () => {
    const turns = (book: TestBook) => book.db.selectFrom('turn').selectAll().orderBy('id').execute()
    expect(await turns(again)).toEqual(await turns(valley))
  })

  // One page of each kind is opened for all six roles in the browser's walk; here two of each, by who sees most and who is most.
  it.each(['amaru', 'hila'])('opens every door that it shows to %s', async (name) => {
    const seen = await walk(await readerOfValley(name), { pagesOfAKind: 2 })
    expect(seen.length).toBeGreaterThan(10)
    const faults = seen.filter((page) => page.status !== 200 || /undefined|NaN|\[object|Infinity/.test(page.words))
    expect(faults.map((page) => `${page.path} ${page.status} ${page.words.slice(0, 200)}`)).toEqual([])
  })
})
