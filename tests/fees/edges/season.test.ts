import { expect, it } from 'vitest'
import { approve } from '../../../server/book/names/approvals.ts'
import { withhold } from '../../../server/book/names/withheld-store.ts'
import { recordPayment } from '../../../server/fees/receipt/store.ts'
import { payVoucher, writeVoucher } from '../../../server/fees/voucher/store.ts'
import { currentGroup, setGroup } from '../../../server/people/group/store.ts'
import type { Seen } from '../../support/visitor.ts'
import { type MoneyBook, moneyBook, owingBook, TODAY, told } from '../book.ts'

const BEGINS = '2026-07-01'

/** The season before ended, and another one runs. */
async function nextSeason(book: MoneyBook) {
  const group = { ...(await currentGroup(book.db))!, seasonStartOn: BEGINS }
  await book.as('Ada', (pen) => setGroup(pen, group, BEGINS))
  book.setNow('2026-07-04T05:00:00Z')
  return book.signedIn('Tomo')
}

it('the accounts of all members tell one sum for what was before the season, and each line since', async () => {
  const { book } = await owingBook()
  const pay = (onDate: string, amountMinor: number) =>
    book.as('Tomo', (pen) => recordPayment(pen, { personId: book.ids.Bela, amountMinor, column: 'cash', onDate }))
  await pay('2026-06-30', 3000)
  await pay(BEGINS, 1100)
  await book.as('Tomo', (pen) =>
    recordPayment(pen, { personId: book.ids.Chidi, amountMinor: 700, column: 'cash', onDate: '2026-06-30' }),
  )
  const tomo = await nextSeason(book)
  const page = await tomo.open('/money/members/all')
  const rows = page.html
    .querySelectorAll('.print-run section:first-of-type tbody tr')
    .map(({ childNodes }) => childNodes.map(({ text }) => text.trim()).filter((text) => text !== ''))
  expect(rows).toEqual([
    ['Before 1 Jul 2026', '170.00'],
    ['1 Jul 2026', 'Receipt 2, cash', '11.00', '159.00'],
  ])
  expect(told(page)).toContain('1 line this season, the last on 1 Jul 2026')
  // Paid ahead, and nothing since: the sheet tells it in one sum.
  expect(page.html.querySelectorAll('.print-run section').map(({ text }) => /Before/.test(text))).toEqual([true, true])
  expect(told(page)).toContain('no line this season, the last on 30 Jun 2026')
})

it('the list of costs holds this season’s vouchers and whatever waits, with what was paid in it; the older ones stand behind a door', async () => {
  const book = await moneyBook()
  await book.as('Tomo', (pen) =>
    recordPayment(pen, { personId: book.ids.Bela, amountMinor: 90_000, column: 'cash', onDate: TODAY }),
  )
  const written = async (payee: string, paidOn: string | null) => {
    const own = { payee, purpose: 'work', category: 'repairs', invoice: null, column: 'cash', stipend: null } as const
    const id = await book.as('Tomo', (pen) => writeVoucher(pen, { ...own, amountMinor: 1000 }))
    if (paidOn === null) return id
    for (const name of ['Ada', 'Ines'] as const) await book.as(name, (pen) => approve(pen, id))
    await book.as('Tomo', (pen) => payVoucher(pen, { id, onDate: paidOn, words: payee }))
    return id
  }
  await written('a smith', '2026-06-30')
  await written('a mason', BEGINS)
  await written('a joiner', null)
  const withdrawn = await written('a digger', null)
  await book.as('Tomo', (pen) => withhold(pen, withdrawn, 'not needed'))
  const tomo = await nextSeason(book)
  const page = await tomo.open('/money/vouchers')
  expect(payees(page)).toEqual(['a joiner', 'a mason'])
  expect(told(page)).toMatch(/2 vouchers of this season, .* Paid this season, .* Together 10\.00/)
  const all = await tomo.open(page.html.querySelector('a[href*="seasons="]')!.getAttribute('href')!)
  expect(payees(all)).toEqual(['a digger', 'a joiner', 'a mason', 'a smith'])
  expect(told(all)).toMatch(/4 vouchers, .* Paid so far, .* Together 20\.00/)
  expect(all.html.querySelector('a[href*="seasons="]')).toBeNull()
})

it('a season without a voucher says so, and not that none was ever written', async () => {
  const book = await moneyBook()
  const own = { payee: 'a smith', purpose: 'work', category: 'repairs', invoice: null, column: 'cash' } as const
  const id = await book.as('Tomo', (pen) => writeVoucher(pen, { ...own, amountMinor: 1000, stipend: null }))
  await book.as('Tomo', (pen) => withhold(pen, id, 'not needed'))
  const page = await (await nextSeason(book)).open('/money/vouchers')
  expect(told(page)).toContain('No voucher of this season, and none that waits.')
})

const payees = ({ html }: Seen) =>
  html.querySelectorAll('tbody .what:nth-child(2)').map(({ childNodes }) => childNodes[0]!.text.trim())
