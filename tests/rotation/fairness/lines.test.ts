import { beforeAll, describe, expect, it } from 'vitest'
import { openValley } from '../../support/valley.ts'
import type { Seen } from '../../support/visitor.ts'

let valley: Awaited<ReturnType<typeof openValley>>
beforeAll(async () => {
  valley = await openValley()
})

/** Rows of the first table by their headings: head and tail of the line. */
const ends = (page: Seen) =>
  new Map(
    page.html
      .querySelector('table')!
      .querySelectorAll('tbody tr')
      .map((row) => [row.querySelector('th')!.text.trim(), row.querySelectorAll('td').map((cell) => cell.text.trim())]),
  )
const firstNumber = (words: string) => Number(/[\d.]+/.exec(words.replaceAll(',', ''))![0])

describe('the head and the tail of a line', () => {
  it('stand side by side: the same hours, the same volume, what that costs the group and a cubic metre of each', async () => {
    const page = await (await valley.signIn('amaru')).open('/turns/fair?as=line')
    const rows = ends(page)
    const [headM3, tailM3] = rows.get('The same hours')!.map(firstNumber)
    expect(tailM3).toBeLessThan(headM3!)
    const [ofHead, ofTail] = rows.get('The same volume')!
    const volume = (cell: string) => /for ([\d.]+) m³/.exec(cell)![1]
    expect(volume(ofTail!)).toBe(volume(ofHead!))
    const cost =
      /Equal volumes bring ([\d.,]+) m³ .* equal hours ([\d.,]+) m³: equal water costs the group ([\d.,]+) m³/
    const [allVolume, allHours, lost] = cost.exec(page.words)!.slice(1).map(firstNumber)
    expect(allHours! - allVolume!).toBeCloseTo(lost!, 0)
    expect(page.words).toMatch(/By the price an hour of the pump costs|The price counts cubic metres: one costs/)
  })

  it('shows a neighbour the water and no prices', async () => {
    const page = await (await valley.signIn('isko')).open('/turns/fair?as=line')
    expect(ends(page).has('The same hours')).toBe(true)
    expect(page.words).not.toContain('By the price')
    expect(page.words).not.toContain('The price counts')
    expect(page.words).not.toContain('No price')
  })

  it('is asked again for hours that are none, and shows nothing reckoned from them', async () => {
    const amaru = await valley.signIn('amaru')
    for (const hours of ['many', '0', '', '9999']) {
      const page = await amaru.open(`/turns/fair?as=line&hours=${hours}`)
      expect([page.status, page.html.querySelector('main table')], hours).toEqual([422, null])
      expect(page.html.querySelector('#hours-error')?.text, hours).toBeTruthy()
    }
  })
})
