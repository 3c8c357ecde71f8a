import { beforeAll, describe, expect, it } from 'vitest'
import { REFUSED_THEN_TAKEN, refusedThenTaken } from '../laws/told.ts'
import type { Fields } from '../support/visitor.ts'
import { bookWithWeir, DAWN } from './support.ts'

const STAGE = { severity: '1', name: 'Be careful', words: 'x', belowLevel: '98.5', food: '80', market: '50', late: '0' }

/** The clock stands at eight in the morning of 4 June 2026. */
describe('at the very day, hour or figure', () => {
  let book: Awaited<ReturnType<typeof bookWithWeir>>
  beforeAll(async () => {
    book = await bookWithWeir()
    const form = await book.ada.open('/water/dry/stage')
    await book.ada.send(form, { ...STAGE, weirId: book.weirId, endCondition: 'rain' })
  })

  const LEVEL = { ...DAWN, weirId: '~Fig', depth: '150' }
  const DECLARED = { stageId: '~Be careful', reason: 'the meeting' }
  const RAIN = { source: 'School', order: 'year-first' }
  it.each<[address: string, wrong: Fields, right: Fields]>([
    ['/water/levels/new', { ...LEVEL, readAt: '08:01' }, { readAt: '08:00' }],
    // 4 June and 31 days.
    ['/water/dry/declare', { ...DECLARED, fromOn: '2026-07-06' }, { fromOn: '2026-07-05' }],
    [
      '/water/settle/late-rain',
      { fromOn: '2026-07-01', lateRainOn: '2026-07-01', wetRain: '10' },
      { lateRainOn: '2026-07-02' },
    ],
    [
      '/crops/weather/list?as=old-rain',
      { ...RAIN, rain: 'day,rain\n2026-06-05,1' },
      { rain: 'day,rain\n2026-06-04,1' },
    ],
    [
      '/crops/weather/list?as=old-rain',
      { ...RAIN, rain: 'day,rain\n2026-06-03,2000.1' },
      { rain: 'day,rain\n2026-06-03,2000' },
    ],
  ])('%s refuses %o and takes %o', async (at, wrong, right) => {
    expect(await refusedThenTaken(book, book.ada, { at, wrong, right })).toMatchObject(REFUSED_THEN_TAKEN)
  })

  it('the mark is above the bed, which lies two metres below the crest', async () => {
    const at = `${book.weirPath}/sand`
    const seen = await refusedThenTaken(book, book.ada, {
      at,
      wrong: { fromOn: '2026-06-04', markAboveCrest: '-2' },
      right: { markAboveCrest: '-1.9' },
    })
    expect(seen).toMatchObject(REFUSED_THEN_TAKEN)
  })
})
