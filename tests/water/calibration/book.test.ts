import { expect, it } from 'vitest'
import { answers } from '../../../server/answers.ts'
import { doubtedDays, sandBook } from '../../../server/water/calibration/book.ts'
import { surveysOn } from '../../../server/water/sand/description-store.ts'
import { waterStates } from '../../../server/water/storage/state.ts'
import { writeDraw, writeLevel, writing } from '../season.ts'
import { bookWithWeir, signInAgain } from '../support.ts'

const BY_HAND = { use: 'drinking' }

/** The sand was described on 4 June, and read on that dawn and on two Thursdays after it. */
async function threeReadings() {
  const book = await bookWithWeir({ valleyShape: 'rectangle', fromOn: '2026-06-04' })
  await writing(book.db, async (pen) => {
    for (const [day, depthCm] of [
      ['04', 60],
      ['11', 63],
      ['18', 66],
    ] as const)
      await writeLevel(pen, book.weirId, `2026-06-${day}`, depthCm)
    for (const [day, m3] of [
      ['04', 1],
      ['10', 2],
      ['11', 4],
      ['17', 8],
      ['18', 16],
    ] as const)
      await writeDraw(pen, book.weirId, `2026-06-${day}`, m3, BY_HAND)
    await writeDraw(pen, book.weirId, '2026-06-12', 32)
  })
  book.setNow('2026-06-18T05:00:00Z')
  await signInAgain(book.ada)
  return book
}

it('what was drawn by hand on the day of a dawn reading counts after it, and from the very day of the survey on', async () => {
  const { db, weirId } = await threeReadings()
  const on = '2026-06-18'
  const survey = (await surveysOn(db, on)).get(weirId)!
  const group = { seasonStartOn: '2026-06-01', seasonEndOn: '2026-10-31' }
  const { stretches } = await sandBook(db, answers.water, { group, survey, on, doubts: [] })
  expect(stretches.map(({ fromOn, handDrawnM3 }) => [fromOn, handDrawnM3])).toEqual([
    ['2026-06-04', 3],
    ['2026-06-11', 12],
  ])
})

it('the sand rested from the very day of its survey on', async () => {
  const { db } = await threeReadings()
  const [state] = await waterStates(db, { on: '2026-06-18' })
  expect(state!.rests.map(({ fromOn }) => fromOn)).toEqual(['2026-06-04'])
})

it('a doubted reading of the day of the survey is one of its readings, and an older one is not', () => {
  const doubts = ['2026-06-03', '2026-06-04', '2026-06-04', '2026-06-09'].map((readOn) => ({ reading: { readOn } }))
  expect(doubtedDays(doubts as never, '2026-06-04')).toEqual(['2026-06-04', '2026-06-09'])
})
