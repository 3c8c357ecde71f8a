import { describe, expect, it } from 'vitest'
import { openValley } from '../../support/valley.ts'

const WEEK = '2026-11-23'

describe('the strips of a week', () => {
  it('show each turn once, on a strip of its own pump', async () => {
    const valley = await openValley()
    const page = await (await valley.signIn('hila')).open(`/turns/weeks/${WEEK}`)
    const turns = await valley.db
      .selectFrom('turn')
      .innerJoin('pump', 'pump.entryId', 'turn.pumpId')
      .select(['turn.id', 'pump.number'])
      .where('onDate', '>=', WEEK)
      .execute()
    const pumpOf = new Map(turns.map(({ id, number }) => [`/turns/${id}`, number]))
    const shown: string[] = []
    for (const strip of page.html.querySelectorAll('.pump-strip')) {
      const label = /Pump (\d+)/.exec(strip.querySelector('span')!.text)
      for (const block of strip.querySelectorAll('a[href^="/turns/"]')) {
        const href = block.getAttribute('href')!
        shown.push(href)
        if (label) expect(pumpOf.get(href), href).toBe(Number(label[1]))
      }
    }
    expect(shown.length).toBeGreaterThan(20)
    expect(new Set(shown).size).toBe(shown.length)
  })
})
