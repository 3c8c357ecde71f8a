import { expect, it } from 'vitest'
import { addPlot } from '../../server/people/plot/store.ts'
import { abstractionsBook, cells, TODAY } from '../abstractions/book.ts'
import { REFUSED_THEN_TAKEN, refusedThenTaken } from '../laws/told.ts'

it('a line of the pump log says for which plot it was, where the outlet serves more than one', async () => {
  const { ada, writing, ...book } = await abstractionsBook()
  const plot = {
    areaM2: 300,
    soil: 'loam',
    method: 'drip',
    shares: 1,
    outletIds: [book.outletId],
    fromOn: '2026-06-01',
  }
  await writing((pen) => addPlot(pen, { ...plot, number: 8, name: 'Fig', holderIds: [book.chidiId] }))
  const line = { onDate: TODAY, place: '3', opening: '1204', closing: '1208', startTime: '08:00', endTime: '10:00' }
  const seen = await refusedThenTaken(book, ada, {
    at: '/paper/pump-log/type',
    wrong: { pageNo: '1', ...cells([line]) },
    right: { '1.plotId': '8' },
  })
  expect(seen.words).toContain('Which plot was this for? The outlet serves more than one, or none.')
  expect(seen).toMatchObject(REFUSED_THEN_TAKEN)
})

it('the same crop twice on one page is asked about, and on other ground is another', async () => {
  const { ada, ...book } = await abstractionsBook()
  const line = { cropKey: 'Maize, grain', plotId: '7', area: '100', sownOn: '2026-06-05' }
  const page = await ada.open('/paper/many/crops')
  const refused = await ada.send(page, cells([line, line]))
  expect(refused.words).toContain('Another line of this page is the same crop on the same plot')
  const plans = () => book.db.selectFrom('cropPlan').selectAll().execute()
  expect([refused.status, (await plans()).length]).toEqual([422, 1])
  const taken = await ada.send(refused, { '2.area': '101' })
  expect([taken.status, (await plans()).length]).toEqual([200, 2])
})
