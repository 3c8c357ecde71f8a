import { beforeEach, expect, it } from 'vitest'
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
  expect(await agreement()).toContain('Tomo alone took back or moved a receipt of KES 30.00 in all. Ask its payer')
  await tomo.fill('/money/receipts/1/mend?as=other-person', { personId: book.ids.Chidi, reason: 'wrong name' })
  expect(await agreement()).toContain('Tomo alone took back or moved 2 receipts of KES 50.00 in all. Ask their payers')
})
