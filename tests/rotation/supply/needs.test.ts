import { expect, it } from 'vitest'
import type { Pen } from '../../../server/book/entries.ts'
import { addCropPlan } from '../../../server/crops/plan/store.ts'
import { currentGroup } from '../../../server/people/group/store.ts'
import { addPlot } from '../../../server/people/plot/store.ts'
import { weirNeeds } from '../../../server/rotation/supply/needs.ts'
import { addWeatherDay } from '../../../server/water/weather/store.ts'
import { startedBook } from '../../support/book.ts'
import { TODAY, WEEK, writePump, writeWeir } from '../rule/book.ts'

/** Two weirs with a pump and a plot of 300 m2 each, and one more at the first. */
async function twoWeirs() {
  const book = await startedBook(`${TODAY}T05:00:00Z`)
  const { entryId } = await book.db.selectFrom('person').select('entryId').executeTakeFirstOrThrow()
  const write = <T>(work: (pen: () => Pen) => Promise<T>) =>
    book.db
      .transaction()
      .execute((trx) => work(() => ({ trx, writtenBy: entryId, writtenAt: `${TODAY}T05:00:00.000Z` })))
  const rest = { soil: 'sandy_loam', method: 'drip', shares: 1, holderIds: [entryId], fromOn: '2026-05-01' }
  const made = await write(async (pen) => {
    const weirIds: string[] = []
    const plotIds: string[] = []
    for (const number of [1, 2]) {
      const name = `weir ${number}`
      const weirId = await writeWeir(pen, entryId, { number, name, distanceM: 1000 * number, depthCm: 93 })
      const outletId = await writePump(pen, weirId, number)
      weirIds.push(weirId)
      plotIds.push(await addPlot(pen(), { ...rest, number, name: 'strip', areaM2: 300, outletIds: [outletId] }))
      if (number === 1) await addPlot(pen(), { ...rest, number: 3, name: 'fallow', areaM2: 300, outletIds: [outletId] })
    }
    for (let day = 1; day <= 10; day++)
      await addWeatherDay(pen(), { onDate: `2026-06-${String(day).padStart(2, '0')}`, tmaxC: 31, tminC: 18, rainMm: 0 })
    return { weirIds, plotIds }
  })
  const needs = async (nowM3: number | null) => {
    const group = (await currentGroup(book.db))!
    const now = made.plotIds.map((plotId) => ({ plotId, need: nowM3 === null ? null : { likelyM3: nowM3 } }))
    const asked = { group, weekStartOn: WEEK, today: TODAY, weekDays: Array<number>(22).fill(7), needs: now as never }
    const found = await weirNeeds(book.db, asked)
    return made.weirIds.map((id) => found.get(id)!)
  }
  const declare = (plotId: string, areaM2: number) =>
    write((pen) => addCropPlan(pen(), { plotId, cropKey: 'tomato', areaM2, sownOn: '2026-06-01' }))
  return { ...made, needs, declare }
}

it('the weeks to come go by what is declared, and by area only at a weir where nobody has declared anything', async () => {
  const { plotIds, needs, declare } = await twoWeirs()
  const [first, second] = await needs(null)
  // By area as if grass grew on all of it: the first weir has two plots of 300 m2, the second one.
  expect(second![5]).toBeGreaterThan(0)
  expect(first![5]! / second![5]!).toBeCloseTo(2, 9)
  await declare(plotIds[0]!, 100)
  const [planned, byArea] = await needs(7)
  expect(byArea).toEqual(second)
  // This week's comes from the root zone, later ones from the 100 m2 alone; the fallow beside asks for nothing.
  expect(planned![0]).toBe(7)
  expect(planned![5]).toBeGreaterThan(0)
  expect(planned![5]).toBeLessThan(first![5]! / 3)
  expect(planned!.at(-1)).toBe(0)
})
