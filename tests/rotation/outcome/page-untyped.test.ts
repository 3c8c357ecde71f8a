import { describe, expect, it } from 'vitest'
import { openValley } from '../../support/valley.ts'
import type { Visitor } from '../../support/visitor.ts'

const WEEK = '2026-11-23'
const NEXT = '2026-11-30'

/** What a draft says: the water of the weirs and the shares of the plots. */
async function draftOf(visitor: Visitor) {
  const { html, words } = await visitor.open(`/turns/weeks/${NEXT}`)
  const cells = (caption: string) =>
    html
      .querySelectorAll('table')
      .find((table) => table.querySelector('caption')!.text.includes(caption))!
      .querySelectorAll('tbody tr')
      .map((row) => row.querySelectorAll('td').map((cell) => cell.text.trim()))
  return { words, shares: cells('Each plot with a claim') }
}

describe('turns that nobody has typed in yet', () => {
  it('count as drawn, so that typing them in as agreed moves no litre of the draft, whoever is typed first', async () => {
    const valley = await openValley()
    valley.setNow('2026-11-27T06:00:00Z')
    const dovi = await valley.signIn('dovi')
    const turns = await valley.db
      .selectFrom('turn')
      .innerJoin('publishedWeek', 'publishedWeek.entryId', 'turn.entryId')
      .select(['turn.id', 'turn.volumeM3', 'turn.onDate'])
      .where('publishedWeek.weekStartOn', '=', WEEK)
      .where('turn.onDate', 'in', ['2026-11-25', '2026-11-26'])
      .where(({ not, exists, selectFrom }) =>
        not(exists(selectFrom('abstraction').select('entryId').whereRef('abstraction.turnId', '=', 'turn.id'))),
      )
      .execute()
    expect(turns.length).toBeGreaterThan(4)
    const before = await draftOf(dovi)
    expect(before.words).toContain('turns are over and nobody wrote them in')
    for (const path of ['/water', '/turns/weeks/2026-11-30']) {
      expect((await dovi.open(path)).words).toMatch(/not written in yet|nobody wrote them in/)
    }
    for (const { id, volumeM3, onDate } of turns.slice(0, 3)) {
      const logged = await dovi.fill(`/log/turns/${id}/abstraction/new?method=volume`, {
        volume: String(volumeM3),
        unit: 'm3',
        onDate,
      })
      expect(logged.status).toBe(200)
    }
    const after = await draftOf(dovi)
    expect(after.shares).toEqual(before.shares)
  })
})
