import { describe, expect, it } from 'vitest'
import { verifyBook } from '../../server/book/verify.ts'
import { openValley } from '../support/valley.ts'
import { walk } from '../support/walk.ts'

describe('the pages of a book on PostgreSQL', () => {
  it.each(['amaru', 'dovi', 'fanta', 'goro', 'hila'])('all open for %s', async (signInName) => {
    const valley = await openValley()
    const pages = await walk(await valley.signIn(signInName), { pagesOfAKind: 1 })
    expect(pages.length).toBeGreaterThan(40)
    expect(pages.filter(({ status }) => status !== 200).map(({ path, words }) => `${path} ${words}`)).toEqual([])
    expect((await verifyBook(valley.db)).brokenAt).toBeNull()
  })
})
