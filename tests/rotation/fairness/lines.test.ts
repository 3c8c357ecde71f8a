import { beforeAll, describe, expect, it } from 'vitest'
import { approve } from '../../../server/book/names/approvals.ts'
import { setTariff } from '../../../server/fees/tariff/store.ts'
import { addPlot, describePlot } from '../../../server/people/plot/store.ts'
import { setFillingMinutes } from '../../../server/rotation/constraint/line-store.ts'
import { addFlowTest, addOutlet } from '../../../server/works/pump/store.ts'
import { abstractionsBook } from '../../abstractions/book.ts'
import { OWN_GROUP } from '../../support/book.ts'
import { openValley } from '../../support/valley.ts'
import type { Seen, Visitor } from '../../support/visitor.ts'

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

describe('a line of two plots, 800 m2 and 400 m2, whose outlets give 2 m3 an hour', () => {
  const fromOn = '2026-06-01'
  let book: Awaited<ReturnType<typeof abstractionsBook>>
  let ada: Visitor
  let tailId: string
  beforeAll(async () => {
    book = await abstractionsBook()
    ada = book.visitor()
    await ada.fill('/sign-in', { signInName: OWN_GROUP.signInName, password: OWN_GROUP.password })
    tailId = await book.writing(async (pen) => {
      const outletId = await addOutlet(pen, { number: 4, name: 'End', pumpId: book.pumpId })
      const plot = { soil: 'loam', method: 'drip', shares: 0, outletIds: [outletId], holderIds: [book.chidiId], fromOn }
      await addPlot(pen, { ...plot, number: 8, name: 'Fig', areaM2: 400 })
      return outletId
    })
  })

  const asked = (query: string) => ada.open(`/turns/fair?as=line&${query}`)
  /** What each plot of the whole line has by its size, as the last column tells it. */
  const bySize = ({ html }: Seen) =>
    html.querySelectorAll('details tbody tr').map((row) => row.querySelectorAll('td').at(-1)!.text.trim())

  it('is none while one of them has no tested flow, in however few hours', async () => {
    const page = await asked('hours=0.5')
    expect(page.words).toContain('At least two plots with a tested flow must hang on this pump.')
    expect(page.words).toContain('Without a tested flow, and so left out: plots 8.')
    expect(page.html.querySelector('main table')).toBeNull()
  })

  it('shares ten hours by land, the tail’s filling on top and what runs out of the line off', async () => {
    await book.writing((pen) => addFlowTest(pen, { outletId: tailId, testedOn: fromOn, flowM3PerH: 2 }))
    expect(bySize(await asked('hours=9'))).toEqual(['6 h 00, 12.0 m³', '3 h 00, 6.0 m³'])
    await book.writing((pen) => setFillingMinutes(pen, { outletId: tailId, fromOn, minutes: 30 }))
    // Ten hours, half an hour of filling off and one of draining on: 10.5 running hours, 7 and 3.5.
    expect(bySize(await asked('hours=10&draining=60'))).toEqual(['7 h 00, 14.0 m³', '3 h 00, 7.0 m³'])
  })

  it('says nothing by shares where the shares say nothing, nor where a turn would be less than none', async () => {
    const nothing = ['–, – m³', '–, – m³']
    // 1.5 + 10 hours are 11.5 that run, of which a third, with the filling, is less than what runs out at the tail.
    expect(bySize(await asked('hours=2&draining=600'))).toEqual(nothing)
    expect(bySize(await asked('hours=10&by=shares'))).toEqual(['9 h 30, 19.0 m³', '0 h 30, 0.0 m³'])
    const without = { areaM2: 800, soil: 'loam', method: 'drip', shares: 0, outletIds: [book.outletId], fromOn }
    await book.writing((pen) => describePlot(pen, book.plotId, without))
    expect(bySize(await asked('hours=10&by=shares'))).toEqual(nothing)
  })

  it('tells by an hourly price what a cubic metre costs at each end, and what equal water loses', async () => {
    const priced = { fromOn, perM3Minor: 0, drinkingFree: true, parts: [{ kind: 'per-pump-hour', priceMinor: 9000 }] }
    const tariffId = await book.writing((pen) => setTariff(pen, priced as never))
    await book.writing((pen) => approve({ ...pen, writtenBy: book.belaId }, tariffId))
    // Five hours each: 10 m3, and 9 m3 after the filling.
    const { words } = await asked('hours=10')
    expect(words).toMatch(/a cubic metre so costs (KES )?45\.00.* at the head and (KES )?50\.00.* at the tail/)
    expect(words).toContain('Either way the round brings 19.0 m³ in all.')
    // 24 minutes each bring 0.8 m3 at the head and nothing at the tail; of 48, 18 run: 0.3 m3 for each.
    expect((await asked('hours=0.8')).words).toContain('equal water costs the group 0.2 m³')
  })
})
