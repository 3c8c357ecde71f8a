import { beforeAll, expect, it } from 'vitest'
import { REFUSED_THEN_TAKEN, refusedThenTaken } from '../../laws/told.ts'
import type { Visitor } from '../../support/visitor.ts'
import { type MoneyBook, moneyBook, told } from '../book.ts'

let book: MoneyBook
let tomo: Visitor
beforeAll(async () => {
  book = await moneyBook()
  tomo = await book.signedIn('Tomo')
})

const LINE = '2026-06-02;5,50;;from Bela'
const RIGHT = `date;in;out;words\n${LINE}`
/** One more than is taken at once. */
const LONG = ['date;in;out', ...Array(20_001).fill('2026-06-02;5;')].join('\n')

it.each([
  ['nothing', ';;;', 'There is nothing to read. Write a line of headings and the lines below it.'],
  ['headings alone', 'date;in;out;words', 'There is a line of headings but no line below it.'],
  ['20,001 lines', LONG, 'The list has 20,001 lines, the limit is 20,000. Send a part at a time.'],
  ['an open quotation', `date;in;out;words\n"${LINE}`, 'a quotation mark is opened or closed in the wrong place.'],
  ['decimals parted', 'date,in,out,words\n2026-06-02,5,50,,x', 'Line 2 has 5 cells, the headings are 4. If decimals'],
  ['a heading twice', `date;in;out;words;In\n${LINE};`, 'The heading “In” stands there twice, so it is not clear'],
])('a list of the bank with %s is told so and taken once it is mended', async (_what, lines, words) => {
  const seen = await refusedThenTaken(book, tomo, {
    at: '/money/bank-paper',
    wrong: { column: 'bank', closing: '5.50', order: 'year-first', lines },
    right: { lines: RIGHT },
  })
  expect(seen.words).toContain(words)
  expect(seen).toMatchObject(REFUSED_THEN_TAKEN)
})

it('a line that the bank alone has is told with its own words beside those that the book has too', async () => {
  const pay = (paidOn: string, amount: string) =>
    tomo.fill('/money/pay', { payerId: book.ids.Bela, paidOn, amount, column: 'bank' })
  await pay('2026-06-01', '12')
  await pay('2026-06-03', '14')
  const lines = 'date;in;out;words\n2026-06-01;12;;first\n2026-06-02;13;;only at the bank\n2026-06-03;14;;third'
  const page = told(await tomo.fill('/money/bank-paper', { column: 'bank', closing: '39', order: 'year-first', lines }))
  expect(page).toContain(
    'On the statement, not in the book 2 Jun 2026, KES 13.00 only at the bank 2 lines found in both',
  )
})
