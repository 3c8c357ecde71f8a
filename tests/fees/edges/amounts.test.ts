import { beforeAll, describe, expect, it } from 'vitest'
import { type Fields, filledFields, optionValue, type Visitor } from '../../support/visitor.ts'
import { type MoneyBook, moneyBook, owingBook, told } from '../book.ts'

let book: MoneyBook
let tomo: Visitor

/** Bela owes 200; 380 in the box and 120 put by for the pump. */
beforeAll(async () => {
  ;({ book, tomo } = await owingBook())
  const opening = await tomo.open('/money/settle/from-before')
  await tomo.send(opening, { accountId: optionValue(opening, 'accountId', 'cash'), amount: '500' })
  const { path } = await tomo.fill('/money/move?as=pump', { way: 'in', amount: '120', words: 'minute 4' })
  await book.ada.fill(path, {}, { action: path })
})

/** The form, the line for its amount, what else is answered, what is one cent or one number too much, and the most that is taken. */
const MOST: [string, string, Fields, string, string, string][] = [
  ['/money/move?as=pump', 'amount', { way: 'in', words: 'more' }, '380.01', 'holds less', '380'],
  ['/money/move?as=pump', 'amount', { way: 'out', words: 'a gland' }, '120.01', 'holds less', '120'],
  ['/money/move', 'amount', { from: 'cash', to: 'wallet', words: 'sent' }, '380.01', 'holds less', '380'],
  ['/money/other?as=fee', 'amount', { column: 'wallet', words: 'fee of May' }, '380.01', 'holds less', '380'],
  [
    '/money/relief',
    'amount',
    { personId: 'Bela', askedId: 'Ada', minute: '14', words: 'labour waived' },
    ...(['200.01', 'more than there is', '200'] as const),
  ],
  ['/paper/numbers?as=receipts', 'lastNumber', { name: 'Green', firstNumber: '11' }, '2011', 'at most 2,000', '2010'],
]

it.each(MOST)('%s takes with %s, %j: not %s, which is %s, but %s', async (path, field, also, much, words, most) => {
  const ids = Object.entries(also).map(([name, value]) => [name, book.ids[value as 'Bela'] ?? value])
  const refused = await tomo.fill(path, { ...Object.fromEntries(ids), [field]: much })
  expect(refused.html.querySelector(`#${field}-error`)?.text).toContain(words)
  const taken = await tomo.send(refused, { [field]: most })
  expect([taken.status, taken.html.querySelector(`#${field}-error`)]).toEqual([200, null])
})

describe('money in the box', () => {
  it.each([
    ['37', null],
    ['36.99', 'KES 0.01'],
  ])('where 37 lie in it and %s are the most, is more by %s', async (limit, above) => {
    const own = await moneyBook()
    const ofTomo = await own.signedIn('Tomo')
    const opening = await ofTomo.open('/money/settle/from-before')
    await ofTomo.send(opening, { accountId: optionValue(opening, 'accountId', 'cash'), amount: '37' })
    await ofTomo.fill('/money/settle/most-cash', { fromOn: '2026-06-01', limit })
    const words = told(await ofTomo.open('/money/vouchers'))
    expect(/The box holds (.*) more than the group keeps/.exec(words)?.[1] ?? null).toBe(above)
  })
})

it('a receipt book offers the number after its last receipt up to its last one, and none once it is full', async () => {
  const paper = await tomo.fill('/paper/numbers?as=receipts', { name: 'Two', firstNumber: '39', lastNumber: '40' })
  const offered = async () => filledFields(await tomo.open(paper.path)).number
  const typed = { paidOn: '2026-06-03', payerId: book.ids.Chidi, column: 'bank' }
  expect(await offered()).toBe('39')
  await tomo.fill(paper.path, { ...typed, number: '39', amount: '3' })
  expect(await offered()).toBe('40')
  await tomo.fill(paper.path, { ...typed, number: '40', amount: '4' })
  expect(await offered()).toBe('')
})

it('the paper of a receipt agrees with it only by the person and the amount', async () => {
  const { path } = await tomo.fill('/money/pay', { payerId: book.ids.Chidi, amount: '8', column: 'bank' })
  const said = async (personId: string, amount: string) =>
    told(await tomo.fill(`${path}/mend?as=paper`, { personId, amount })).includes(
      'with the paper, 4 Jun 2026, 08:00: it agrees',
    )
  const { Chidi, Bela } = book.ids
  expect([await said(Bela, '8'), await said(Chidi, '8.01'), await said(Chidi, '8')]).toEqual([false, false, true])
})

it('work is paid from one cent on, by the rate that was written last of those from one day', async () => {
  const rate = { kind: 'labour', name: 'day of work', fromOn: '2026-06-01', minute: '3' }
  for (const price of ['60', '0.04']) await tomo.fill('/money/settle/work', { ...rate, price })
  const form = await tomo.open('/money/pay?as=work')
  const typed = { payerId: book.ids.Chidi, rateId: optionValue(form, 'rateId', '0.04') }
  const nothing = await tomo.send(form, { ...typed, quantity: '0.1' })
  expect(nothing.html.querySelector('#quantity-error')?.text).toContain('above zero')
  expect(told(await tomo.send(nothing, { quantity: '0.2' }))).toContain('KES 0.01')
})

it.each([
  [{ secondUpToM3: '9' }, 'thirdPerM3'],
  [{ thirdPerM3: '90' }, 'secondUpToM3'],
  [{ firstUpToM3: '9', secondUpToM3: '9', secondPerM3: '80', thirdPerM3: '90' }, 'secondUpToM3'],
])('a price of blocks with %j is told so at %s', async (blocks, field) => {
  const page = await tomo.fill('/money/price/new', { fromOn: '2026-06-04', perM3: '50', ...blocks })
  expect([page.status, page.html.querySelectorAll('[aria-invalid="true"]').map((one) => one.id)]).toEqual([
    422,
    [field],
  ])
})
