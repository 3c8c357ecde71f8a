import { describe, expect, it } from 'vitest'
import { verifyBook } from '../../server/book/verify.ts'
import { allReceipts } from '../../server/fees/receipt/store.ts'
import { typePage } from '../abstractions/book.ts'
import { moneyBook } from '../fees/book.ts'

describe('a page of a receipt book', () => {
  it('goes into the ledger under the numbers of the paper, by the treasurer alone', async () => {
    const book = await moneyBook()
    const tomo = await book.signedIn('Tomo')
    await tomo.fill('/paper/numbers?as=receipts', { name: 'Green', firstNumber: '101', lastNumber: '150' })
    const page = await typePage(tomo, 'cash-book', '1', [
      {
        bookId: 'green',
        paidOn: '2/6/2026',
        number: '101',
        payerId: '4',
        amount: '250,50',
        column: 'cash',
        words: 'May',
      },
      { number: '102', payerId: '5', amount: '100', column: 'pho' },
      { number: '102', payerId: '5', amount: '100', column: 'cash' },
      { number: '99', payerId: '5', amount: '10', column: 'cash' },
      { paidOn: '2026-07-01', number: '103', payerId: '5', amount: '10', column: 'cash' },
      { paidOn: '2026-06-03', number: '104', payerId: '5', amount: 'ten', column: 'cash' },
    ])
    expect(page.words).toContain('2 rows are in the book now')
    expect(page.words).toContain('Number 102 of this book is already written')
    expect(page.words).toContain('This book has the numbers 101 to 150')
    expect(page.html.querySelector('[name="6.amount"]')?.getAttribute('value')).toBe('ten')
    const receipts = (await allReceipts(book.db)).map(({ transfer }) => transfer)
    expect(
      receipts.map(({ receiptNumber, amountMinor, on, words }) => [receiptNumber, amountMinor, on, words]),
    ).toEqual([
      [101, 25_050, '2026-06-02', 'May'],
      [102, 10_000, '2026-06-02', null],
    ])
    const again = await typePage(tomo, 'cash-book', '1', [
      { bookId: 'green', paidOn: '2026-06-02', number: '101', payerId: '4', amount: '250.50', column: 'cash' },
    ])
    expect(again.words).toContain('1 row of this page was typed in before')
    expect(again.html.querySelector('main table a')?.getAttribute('href')).toBe(`/money/receipts/${receipts[0]!.id}`)
    expect(await allReceipts(book.db)).toHaveLength(2)
    const bela = await book.signedIn('Bela')
    expect((await bela.open('/paper/cash-book/pages/1')).status).toBe(403)
    expect((await bela.open('/paper/cash-book')).words).not.toContain('Page 1, 2 rows')
    expect((await verifyBook(book.db)).brokenAt).toBeNull()
  })
})
