import { beforeEach, expect, it } from 'vitest'
import { optionValue } from '../../support/visitor.ts'
import { type MoneyBook, moneyBook, told } from '../book.ts'

let book: MoneyBook
let tomo: Awaited<ReturnType<MoneyBook['signedIn']>>

beforeEach(async () => {
  book = await moneyBook()
  tomo = await book.signedIn('Tomo')
  for (const amount of ['20', '30']) await tomo.fill('/money/pay', { payerId: book.ids.Bela, amount, column: 'cash' })
})

const heading = async () => told(await tomo.open(`/money/members/${book.ids.Bela}`)).split('Date')[0]!

it('tells the last receipt that stands once another was taken back or moved, and counts those that do', async () => {
  expect(await heading()).toMatch(/2 receipts\. Receipt 2\b/)
  await tomo.fill('/money/receipts/2/mend', { original: 'never-given', reason: 'typed twice' })
  expect(await heading()).toMatch(/1 receipt\. Receipt 1\b/)
  await tomo.fill('/money/receipts/1/mend?as=other-person', { personId: book.ids.Chidi, reason: 'wrong name' })
  expect(await heading()).toContain('0 receipts.')
  expect(await heading()).not.toMatch(/Receipt [12]\b/)
})

it('whoever signs the closing reads how many one person took back or moved, and of how much', async () => {
  const agreement = async () => told(await tomo.open('/money/agree?period=season'))
  expect(await agreement()).not.toContain('alone took back')
  await tomo.fill('/money/receipts/2/mend', { original: 'never-given', reason: 'typed twice' })
  expect(await agreement()).toContain('Tomo alone took back or moved a receipt, KES 30.00 in all. Ask its payer')
  await tomo.fill('/money/receipts/1/mend?as=other-person', { personId: book.ids.Chidi, reason: 'wrong name' })
  expect(await agreement()).toContain('Tomo alone took back or moved 2 receipts, KES 50.00 in all. Ask their payers')
})

it('and how much one person wrote as fees of a wallet, or as owed from before the book once money moves', async () => {
  const agreement = async () => told(await tomo.open('/money/agree?period=season'))
  await tomo.fill('/money/pay', { payerId: book.ids.Bela, amount: '100', column: 'wallet' })
  for (const amount of ['40', '2.50'])
    await tomo.fill('/money/other?as=fee', { column: 'wallet', amount, words: 'monthly charges' })
  expect(await agreement()).toContain(
    'Tomo alone wrote 2 times that phone money or the bank took KES 42.50 in all for itself',
  )
  const opening = await tomo.open('/money/settle/from-before')
  const accountId = optionValue(opening, 'accountId', 'Chidi')
  const line = { accountId, side: 'held-or-to-pay', onDate: '2020-01-31', words: 'an old debt' }
  const asked = await tomo.send(opening, { ...line, amount: '5000' })
  expect([asked.status, told(asked).includes('nobody ever owed or paid as much')]).toEqual([422, true])
  await tomo.fill('/money/settle/from-before', { ...line, amount: '90' })
  expect(await agreement()).toContain('Tomo alone wrote a line from before the book, KES 90.00 in all')
})

it('what accounts stood at when the book began is told of nobody', async () => {
  const fresh = await moneyBook()
  const first = await fresh.signedIn('Tomo')
  const opening = await first.open('/money/settle/from-before')
  const accountId = optionValue(opening, 'accountId', 'Chidi')
  await first.send(opening, { accountId, side: 'held-or-to-pay', amount: '90', onDate: '2020-01-31', words: 'a debt' })
  await first.fill('/money/pay', { payerId: fresh.ids.Bela, amount: '20', column: 'cash' })
  expect(told(await first.open('/money/agree?period=season'))).not.toContain('from before the book')
})
