import { expect, it } from 'vitest'
import { addPlot, describePlot, listPlots, setHolders } from '../../../server/people/plot/store.ts'
import { moneyBook } from '../../fees/book.ts'

const FROM = '2026-06-10'
const AGAIN = '2026-06-20'
const PLOT = { areaM2: 400, soil: 'sandy_loam', method: 'drip', shares: 1, outletIds: [] }

it('a plot is as it was described and held on the day: before, on and after each day from which it is otherwise', async () => {
  const { db, as, ids } = await moneyBook()
  const on = async (day: string) =>
    (await listPlots(db, day))
      .filter(({ number }) => number === 40)
      .map(({ areaM2, holders }) => [areaM2, ...holders.map(({ name }) => name)])
  const write = (areaM2: number, fromOn: string, plotId: string) =>
    as('Ada', (pen) => describePlot(pen, plotId, { ...PLOT, areaM2, fromOn }))
  expect(await on(FROM)).toEqual([])
  const id = await as('Ada', (pen) =>
    addPlot(pen, { ...PLOT, number: 40, name: 'the new bank', holderIds: [ids.Bela], fromOn: FROM }),
  )
  await write(500, AGAIN, id)
  await as('Ada', (pen) => setHolders(pen, id, [ids.Chidi], '2026-06-15'))
  // Before its first day it is told as it was first described, held by nobody.
  expect(await on('2026-06-09')).toEqual([[400]])
  expect(await on(FROM)).toEqual([[400, 'Bela']])
  expect(await on('2026-06-14')).toEqual([[400, 'Bela']])
  expect(await on('2026-06-15')).toEqual([[400, 'Chidi']])
  expect(await on('2026-06-19')).toEqual([[400, 'Chidi']])
  expect(await on(AGAIN)).toEqual([[500, 'Chidi']])
  // Days between two changes share one list: a log of months does not hold the plots once for each of its days.
  expect(await listPlots(db, '2026-06-16')).toBe(await listPlots(db, '2026-06-19'))
  await write(600, '2026-06-17', id)
  expect(await on('2026-06-16')).toEqual([[400, 'Chidi']])
  expect(await on('2026-06-17')).toEqual([[600, 'Chidi']])
  expect(await on(AGAIN)).toEqual([[500, 'Chidi']])
})
