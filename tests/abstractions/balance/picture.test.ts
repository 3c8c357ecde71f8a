import type { HTMLElement } from 'node-html-parser'
import { describe, expect, it } from 'vitest'
import { openValley } from '../../support/valley.ts'

describe('the picture of the balance', () => {
  it('draws what was or came into each weir and what was drawn of it, to one measure, as the table says', async () => {
    const { signIn } = await openValley()
    const { html } = await (await signIn('hila')).open('/water/went')
    const widthOf = (bar: HTMLElement, shape: string) => Number(bar.querySelector(shape)!.getAttribute('width'))
    const bars = html.querySelectorAll('table.bars tbody tr').map((bar) => ({
      name: bar.querySelector('th')!.childNodes[0]!.text.trim(),
      whole: widthOf(bar, '.d-frame'),
      drawn: widthOf(bar, '.d-full'),
    }))
    const rows = html.querySelectorAll('table.lines')[0]!.querySelectorAll('tbody tr')
    const told = new Map(
      rows.map((row) => {
        const [opening, recharge, drawn] = row.querySelectorAll('td').map((td) => Number(td.text.replaceAll(',', '')))
        return [row.querySelector('th')!.text.trim(), { wholeM3: opening! + recharge!, drawnM3: drawn! }]
      }),
    )
    expect(bars.length).toBeGreaterThan(1)
    const most = Math.max(...bars.map(({ name }) => told.get(name.replace(/^\d+ /, ''))!.wholeM3))
    for (const { name, whole, drawn } of bars) {
      const { wholeM3, drawnM3 } = told.get(name.replace(/^\d+ /, ''))!
      // The table has three figures, two where the tools can hide the third.
      expect(Math.abs(whole - (100 * wholeM3) / most), name).toBeLessThan(6)
      expect(Math.abs(drawn - (100 * drawnM3) / most), name).toBeLessThan(6)
    }
    expect(Math.max(...bars.map(({ whole }) => whole))).toBe(100)
  })
})
