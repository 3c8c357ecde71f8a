import { describe, expect, it } from 'vitest'
import { openValley } from '../support/valley.ts'
import { walk } from '../support/walk.ts'
import { countInThousandths, currencyOf } from '../web/figures/currency-once.ts'

/** The first day of a week that nobody agreed shows other doors than the Wednesday of every other test; `OTHER_DAYS` names more. */
const DAYS = process.env.OTHER_DAYS?.split(',') ?? ['2026-11-30']

describe('the doors of the valley on another day', () => {
  it.each(DAYS)(
    'are all open to whoever sees them on %s, and each table and list tells its currency once',
    async (day) => {
      const valley = await openValley(day)
      await countInThousandths(valley.db)
      const closed: string[] = []
      const amiss: string[] = []
      let withAmounts = 0
      for (const signInName of ['amaru', 'dovi', 'fanta', 'goro', 'hila', 'isko']) {
        const pages = await walk(await valley.signIn(signInName), { pagesOfAKind: 1 })
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
