import { readFileSync } from 'node:fs'
import { describe, expect, it } from 'vitest'
import { PASSWORD } from '../../seed/load.ts'
import { openBook } from '../support/book.ts'
import { valleyFile } from '../support/load-valley.ts'
import { walk } from '../support/walk.ts'
import { countInThousandths, currencyOf } from '../web/figures/currency-once.ts'

/** The first day of a week that nobody agreed shows other doors than the Wednesday of every other test; `OTHER_DAYS` names more. */
const DAYS = process.env.OTHER_DAYS?.split(',') ?? ['2026-11-30']

describe('the doors of the valley on another day', () => {
  it.each(DAYS)(
    'are all open to whoever sees them on %s, and each table and list tells its currency once',
    async (day) => {
      const book = await openBook(`${day}T10:00:00Z`, readFileSync(await valleyFile()))
      await countInThousandths(book.db)
      const closed: string[] = []
      const amiss: string[] = []
      let withAmounts = 0
      for (const signInName of ['amaru', 'dovi', 'fanta', 'goro', 'hila', 'isko']) {
        const visitor = book.visitor()
        await visitor.fill('/sign-in', { signInName, password: PASSWORD })
        const pages = await walk(visitor, { pagesOfAKind: 1 })
        expect(pages.length).toBeGreaterThan(20)
        closed.push(
          ...pages
            .filter((page) => page.status !== 200 || /undefined|NaN|\[object|Infinity/.test(page.words))
            .map((page) => `${signInName} ${page.path} ${page.status}`),
        )
        for (const told of pages.map(currencyOf)) {
          withAmounts += told.withAmounts
          amiss.push(...told.amiss.map((what) => `${signInName} ${what}`))
        }
      }
      expect(closed).toEqual([])
      expect(withAmounts).toBeGreaterThan(50)
      expect(amiss).toEqual([])
    },
  )
})
