import { beforeAll, describe, expect, it } from 'vitest'
import { REFUSED_THEN_TAKEN, refusedThenTaken } from '../../laws/told.ts'
import { startedBook } from '../../support/book.ts'
import { type Fields, optionValue } from '../../support/visitor.ts'
import { errorBeside } from '../../water/support.ts'
import { onPlot } from '../farm.ts'

/** It is 4 June 2026, and the season of the book goes from 1 June to 31 October. */
describe('at the very day or figure', () => {
  let book: Awaited<ReturnType<typeof startedBook>>
  let plotId: string
  let sown: string
  beforeAll(async () => {
    book = await startedBook()
    plotId = await onPlot(book.db)
    const page = await book.ada.fill('/crops/new', { plotId, cropKey: 'tomato', area: '100', sownOn: '2026-06-02' })
    sown = page.path
  })

  const TOMATO = { plotId: '~Ford plot', cropKey: '~Tomato', area: '100' }
  it.each<[address: string, wrong: Fields, right: Fields]>([
    ['/crops/new', { ...TOMATO, sownOn: '2026-11-01' }, { sownOn: '2026-10-31' }],
    ['/crops/settle/second-look', { lookOn: '2026-06-03' }, { lookOn: '2026-06-04' }],
    ['/crops/settle/second-look', { lookOn: '2026-11-01' }, { lookOn: '2026-10-31' }],
  ])('%s refuses %o and takes %o', async (at, wrong, right) => {
    expect(await refusedThenTaken(book, book.ada, { at, wrong, right })).toMatchObject(REFUSED_THEN_TAKEN)
  })

  it('a crop ends on the day of its sowing at the earliest, and was sown on that of its end at the latest', async () => {
    const ended = { outcome: 'lost', endedOn: '2026-06-01', reason: 'hail' }
    for (const [at, wrong, right] of [
      [`/crops/plans/${sown.split('/').at(-1)}/end`, ended, { endedOn: '2026-06-02' }],
      [`${sown}/correct`, { sownOn: '2026-06-03', reason: 'misread' }, { sownOn: '2026-06-02', area: '90' }],
    ] as [string, Fields, Fields][])
      expect(await refusedThenTaken(book, book.ada, { at, wrong, right })).toMatchObject(REFUSED_THEN_TAKEN)
  })

  it('plots look to a gauge together, and none where one of them is unknown', async () => {
    const at = '/crops/weather/gauge?as=plots'
    await book.ada.fill('/crops/weather/gauge', { number: '1', name: 'School' })
    const page = await book.ada.open(at)
    const gaugeId = optionValue(page, 'gaugeId', 'School')
    const refused = await book.ada.send(page, { gaugeId, plotIds: [plotId, 'elsewhere'], fromOn: '2026-06-04' })
    expect([refused.status, errorBeside(refused, 'plotIds')]).toEqual([422, expect.stringContaining('Choose one')])
    expect((await book.ada.send(page, { gaugeId, plotIds: [plotId], fromOn: '2026-06-04' })).status).toBe(200)
  })
})
