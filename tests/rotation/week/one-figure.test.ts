import { beforeAll, describe, expect, it } from 'vitest'
import { makeFormat } from '../../../server/web/figures/format.ts'
import { openValley } from '../../support/valley.ts'
import type { Visitor } from '../../support/visitor.ts'

const WEEK = '2026-11-23'

let valley: Awaited<ReturnType<typeof openValley>>
let hila: Visitor
beforeAll(async () => {
  valley = await openValley()
  hila = await valley.signIn('hila')
})

describe('jerrycans', () => {
  it('are counted one by one under 1 m³ and by tens above', () => {
    const { jerrycans } = makeFormat('en', 'UTC')
    expect([0.2, 0.3, 0.98, 1, 1.1, 8.998].map(jerrycans)).toEqual(['10', '15', '49', '50', '60', '450'])
  })
})

describe('one turn', () => {
  it('has one figure, in tenths, on every page that tells it, and one number of jerrycans', async () => {
    const turns = await valley.db
      .selectFrom('turn')
      .select(['id', 'onDate', 'volumeM3', 'plotId'])
      .where('onDate', '>=', WEEK)
      .orderBy('volumeM3')
      .execute()
    const picked = turns.filter((_, at) => at % Math.ceil(turns.length / 6) === 0)
    const f = makeFormat('en', 'UTC')
    const week = await hila.open(`/turns/weeks/${WEEK}`)
    for (const { id, onDate, volumeM3, plotId } of picked) {
      const shown = [f.one(volumeM3), f.tenth(volumeM3)]
      const cans = f.jerrycans(volumeM3)
      const row = week.html.querySelector(`a[href="/turns/${id}/slip"]`)?.closest('tr')
      if (row) {
        const cell = (label: string) => row.querySelector(`td[data-label="${label}"]`)!.text.trim()
        expect(shown).toContain(cell('m³'))
        expect(cell('Jerrycans')).toBe(cans)
      }
      for (const path of [`/turns/${id}/slip`, `/turns/${id}`, `/turns/plots/${plotId}`]) {
        const { words } = await hila.open(path)
        expect(
          shown.some((figure) => words.includes(`${figure} m³`)),
          `${path} of ${onDate}`,
        ).toBe(true)
        const finer = String(Math.round(volumeM3 * 1000) / 1000)
        if (path === `/turns/plots/${plotId}`) continue // A draw of the log is told to the litre.
        if (!shown.includes(finer)) expect(words, path).not.toContain(`${finer} m³ `)
        // A can of twenty litres on paper, where room is short.
        expect(words, path).toContain(path.endsWith('slip') ? `${cans} cans` : `${cans} jerrycans`)
      }
    }
    expect(picked.length).toBeGreaterThan(4)
  })
})

describe('the water of a weir', () => {
  it('is never less than what of it is drunk, kept free or left', async () => {
    const week = await hila.open(`/turns/weeks/${WEEK}`)
    const cells = week.html.querySelectorAll('td[data-label="Kept free"]')
    expect(cells.length).toBeGreaterThan(1)
    for (const kept of cells) {
      const row = kept.closest('tr')!
      const m3 = (label: string) =>
        Number(row.querySelector(`td[data-label="${label}"]`)!.text.replace(/[^\d.]/g, '') || '0')
      const parts = ['of it to drink', 'Kept free', 'Not used'].map(m3)
      const within = parts.map((part) => part >= 0 && part <= m3('For this week') + 0.05)
      expect(within).toEqual([true, true, true])
    }
  })
})
