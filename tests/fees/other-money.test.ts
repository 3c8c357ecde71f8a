import { beforeEach, describe, expect, it } from 'vitest'
import { answersOf, optionValue, type Visitor } from '../support/visitor.ts'
import { type MoneyBook, moneyBook, told } from './book.ts'

const JUNE = '/money/agree?period=month&on=2026-06-04'
let book: MoneyBook
let tomo: Visitor
beforeEach(async () => {
  book = await moneyBook()
  tomo = await book.signedIn('Tomo')
})

async function open(code: string, amount: string) {
  const form = await tomo.open('/money/settle/from-before')
  await tomo.send(form, { accountId: optionValue(form, 'accountId', code), amount })
}

describe('money without a voucher or a receipt', () => {
  it('is a fee that the wallet took, or income that is nobody’s, each by its name and in the report', async () => {
    await open('phone money', '500')
    const fee = { column: 'wallet', amount: '12.50', onDate: '2026-06-04', words: 'monthly fee' }
    const much = await tomo.fill('/money/other?as=fee', { ...fee, amount: '600' })
    expect(much.html.querySelector('#amount-error')?.text).toContain('holds less')
    await tomo.send(much, { amount: '12.50' })
    const grant = { source: 'grant', fromWhom: 'a valley fund', amount: '300', column: 'wallet', words: 'letter 9' }
    await tomo.fill('/money/other', { ...grant, onDate: '2026-06-04' })
    const cashBook = told(await tomo.open('/money/cash-book'))
    expect(cashBook).toMatch(/costs cost: monthly fee .* 12.50 0.00 487.50/)
    expect(cashBook).toMatch(/a valley fund grant: letter 9 .* 300.00 0.00 787.50/)
    expect(told(await tomo.open(JUNE))).not.toContain('without a voucher')
    const report = told(await book.ada.open('/money/report'))
    expect(report).toContain('Other income: grant KES 300.00.')
    expect(report).toContain('taken by phone money and bank KES 12.50')
    expect(told(await tomo.open(`/money/members/${book.ids.Bela}`))).not.toContain('300')
  })
})

describe('a statement with other headings', () => {
  it('asks which column is which, keeps the list, and reads one column with signs', async () => {
    const list = 'Booked;Detail;Value\n2026-06-02;paid in;120.00\n2026-06-03;fee;-5.00'
    const typed = { column: 'wallet', toOn: '2026-06-04', closing: '115', lines: list }
    const asked = await tomo.fill('/money/bank-paper', typed)
    expect(asked.html.querySelector('#lines-error')?.text).toContain('Choose below which of its columns holds what')
    expect(asked.html.querySelector('#lines')?.text).toContain('2026-06-03;fee;-5.00')
    const named = { dateColumn: 'Booked', inColumn: 'Value', outColumn: 'Value', wordsColumn: 'Detail' }
    const read = told(await tomo.send(asked, named))
    expect(read).toContain('KES 120.00')
    expect(read).toContain('-KES 5.00')
  })
})

describe('what the pages of money say beside a figure', () => {
  it('is what a payer owes, what one cubic metre costs, and how many charges stand above them', async () => {
    const parts = { fromOn: '2026-06-01', perM3: '50', perTurn: '5' }
    const tariff = await tomo.fill('/money/price/new', parts)
    await book.ada.fill(tariff.path, {}, { action: tariff.path })
    await book.deliver({ volumeM3: 4 })
    const charges = told(await tomo.open('/money/charges'))
    expect(charges).toMatch(/4 50.00 and other parts 205.00/)
    await tomo.fill('/money/charges', {}, { action: '/money/charges' })
    const form = await tomo.open('/money/pay')
    const options = answersOf(form, 'payerId').map(({ words }) => words.replace(/\u00a0/g, ' '))
    expect(options).toContain('4 Bela: KES 205.00 to pay')
    expect(told(await tomo.open(`/money/members/${book.ids.Bela}`))).toContain('1 charge and 0 receipts')
    expect(told(await tomo.open(JUNE))).toContain('Money stands on the day on which it was charged')
  })
})
