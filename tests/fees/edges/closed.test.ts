import { beforeEach, describe, expect, it } from 'vitest'
import { approve } from '../../../server/book/names/approvals.ts'
import { withhold } from '../../../server/book/names/withheld-store.ts'
import { closePeriod } from '../../../server/fees/closing/store.ts'
import { listTransfers } from '../../../server/fees/ledger/transfer-store.ts'
import type { PeriodBooks } from '../../../server/fees/reconcile/books.ts'
import type { Visitor } from '../../support/visitor.ts'
import { type MoneyBook, moneyBook, TODAY, told } from '../book.ts'

let book: MoneyBook
let tomo: Visitor
beforeEach(async () => {
  book = await moneyBook()
  tomo = await book.signedIn('Tomo')
})

const close = (from: string, to: string) => book.as('Tomo', (pen) => closePeriod(pen, { from, to } as PeriodBooks))

describe('a period that one person closed', () => {
  // By the calendar: the week that ends with May, and the one that begins with June.
  const WAITS = 'This period was closed by one person and waits for the second name.'
  const said = async (period: string, on: string) =>
    told(await tomo.open(`/money/agree/close?period=${period}&on=${on}`)).includes(WAITS)

  it('waits for its second name, and no other that begins or ends with it does', async () => {
    book.setNow('2026-07-01T05:00:00Z')
    tomo = await book.signedIn('Tomo')
    await close('2026-05-01', '2026-05-31')
    const june = await close('2026-06-01', '2026-06-30')
    const asked = [
      ['month', '2026-05-31'],
      ['week', '2026-05-31'],
      ['week', '2026-06-01'],
      ['month', '2026-06-01'],
    ] as const
    const all = async () => Promise.all(asked.map(([period, on]) => said(period, on)))
    expect(await all()).toEqual([true, false, false, true])
    await book.as('Ines', (pen) => withhold(pen, june, 'a receipt is missing'))
    expect(await all()).toEqual([true, false, false, false])
  })
})

describe('a payment that stands on the wrong account', () => {
  it.each([
    ['2026-06-01', TODAY],
    ['2026-06-02', '2026-06-02'],
  ])('of %s is moved, where the book is closed up to 1 June, on %s', async (paidOn, movedOn) => {
    const { path } = await tomo.fill('/money/pay', { payerId: book.ids.Bela, paidOn, amount: '30', column: 'cash' })
    const closing = await close('2026-05-25', '2026-06-01')
    await book.as('Ines', (pen) => approve(pen, closing))
    const fields = { personId: book.ids.Chidi, reason: 'the names stand side by side' }
    await tomo.fill(`${path}/mend?as=other-person`, fields)
    const [, ...moved] = await listTransfers(book.db)
    expect(moved.map(({ on }) => on)).toEqual([movedOn, movedOn])
  })
})
