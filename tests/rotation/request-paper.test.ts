import { beforeAll, expect, it } from 'vitest'
import { abstractionsBook, addTurn, typePage } from '../abstractions/book.ts'

// Rows of the booking list that are typed in on Thursday 11 June 2026 in Nairobi, three hours ahead of Greenwich.

const [PUBLISHED, OPEN] = ['2026-06-08', '2026-06-15']

let book: Awaited<ReturnType<typeof abstractionsBook>>
beforeAll(async () => {
  book = await abstractionsBook()
  // Half past midnight on the 10th.
  await book.db
    .transaction()
    .execute((trx) => addTurn({ trx, writtenBy: book.adaId, writtenAt: '2026-06-09T21:30:00.000Z' }, book, PUBLISHED))
})

/** How many rows of a page were written, and what was said of the others. */
async function typed(pageNo: string, rows: Record<string, string>[]): Promise<[written: number, words: string]> {
  const count = async () => (await book.db.selectFrom('waterRequest').selectAll().execute()).length
  const before = await count()
  const { words } = await typePage(book.ada, 'requests', pageNo, rows)
  return [(await count()) - before, words]
}

it.each([
  ['2026-06-09', true],
  ['2026-06-10', true],
  ['2026-06-11', false],
])('asked on %s for a week published on the 10th are taken: %s', async (askedOn, isTaken) => {
  const [written, words] = await typed(askedOn.slice(-2), [
    { askedOn, weekStartOn: PUBLISHED, plotId: '7', volume: '4' },
  ])
  expect([written, words.includes('This week has already been published.')]).toEqual([isTaken ? 1 : 0, !isTaken])
})

it('are urgent as often as the group allows in a month, those above on the page counted', async () => {
  const row = { askedOn: '2026-06-11', weekStartOn: OPEN, plotId: '7', urgent: 'seedlings wilt' }
  const used = 'This plot has used its urgent requests of this month; the group allows'
  const [once, words] = await typed('21', [row, { ...row, volume: '3' }])
  expect([once, words.includes(`${used} 1`)]).toEqual([1, true])
  await book.ada.fill('/turns/settle/urgent', { perMonth: '3' })
  const [twice, then] = await typed('22', [row, { ...row, volume: '3' }, { ...row, volume: '4' }])
  expect([twice, then.includes(`${used} 3`)]).toEqual([2, true])
})
