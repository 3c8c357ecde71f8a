import { describe, expect, it } from 'vitest'
import { verifyBook } from '../../server/book/verify.ts'
import { listTransfers } from '../../server/fees/ledger/transfer-store.ts'
import { addReceiptBook } from '../../server/fees/receipt/book-store.ts'
import { allReceipts } from '../../server/fees/receipt/store.ts'
import { messageOf } from '../../server/fees/receipt/words.ts'
import { optionValue } from '../support/visitor.ts'
import { type MoneyBook, moneyBook, told } from './book.ts'

function paymentOf(book: MoneyBook, amount = '120.50') {
  return { payerId: book.ids.Bela, amount, column: 'cash', words: 'brought by her son' }
}

describe('a payment', () => {
  it('gets a numbered receipt to print and a short message to send', async () => {
    const book = await moneyBook()
    const tomo = await book.signedIn('Tomo')
    const receipt = await tomo.fill('/money/pay', paymentOf(book))
    expect(receipt.path).toBe('/money/receipts/1')
    expect(told(receipt)).toMatch(/Receipt 1 .*KES 120.50/)
    expect(told(receipt)).toContain('KES 120.50 paid ahead')
    const link = receipt.html.querySelector('a[href^="sms:"]')!.getAttribute('href')!
    expect(link).toMatch(/^sms:\+254700000004\?body=/)
    const message = decodeURIComponent(link.split('body=')[1]!)
    expect(message).toBe('Receipt 1: KES 120.50 from Bela, 4 Jun 2026. Now KES 120.50 paid ahead. Upper Ford group')
  })

  it('is asked about when two pages bring the same, and is a second one only with its cross', async () => {
    const book = await moneyBook()
    const tomo = await book.signedIn('Tomo')
    const [one, other] = [await tomo.open('/money/pay'), await tomo.open('/money/pay')]
    await tomo.send(one, paymentOf(book))
    const asked = await tomo.send(other, paymentOf(book))
    expect([asked.status, asked.words]).toEqual([422, expect.stringContaining('Receipt 1 is the same')])
    expect(await allReceipts(book.db)).toHaveLength(1)
    expect((await tomo.send(asked, { _sure: 'amount:120.50' })).path).toBe('/money/receipts/2')
  })

  it('offers no message where no telephone is written', async () => {
    const book = await moneyBook()
    const receipt = await (await book.signedIn('Tomo')).fill('/money/pay', {
      ...paymentOf(book),
      payerId: book.ids.Chidi,
    })
    expect(receipt.html.querySelector('a[href^="sms:"]')).toBeNull()
    expect(told(receipt)).toContain('No telephone number')
  })

  it.each([
    ['amount', '-20', 'without a minus sign'],
    ['amount', 'twenty', 'is not an amount of money'],
    ['amount', '2000.505', 'has too many decimals'],
    ['amount', '0', 'above zero'],
    ['amount', '99999999999999999', 'Count the zeros'],
    ['payerId', 'nobody', 'Choose one from the list'],
    ['column', 'pocket', 'Choose one from the list'],
    ['paidOn', '2026-06-05', 'has not come yet'],
    ['paidOn', '2026-02-30', 'not a day on the calendar'],
  ])('says beside %s what to do about “%s”, and writes nothing', async (field, typed, words) => {
    const book = await moneyBook()
    const page = await (await book.signedIn('Tomo')).fill('/money/pay', { ...paymentOf(book), [field]: typed })
    expect(page.status).toBe(422)
    expect(page.html.querySelector(`#${field}-error`)?.text).toContain(words)
    expect(page.html.querySelector('#words')?.getAttribute('value')).toBe('brought by her son')
    expect(await listTransfers(book.db)).toEqual([])
  })

  it('of 20.505 is read as thousands where a coin has two decimals, and the receipt shows it', async () => {
    const book = await moneyBook()
    const receipt = await (await book.signedIn('Tomo')).fill('/money/pay', paymentOf(book, '20.505'))
    expect(told(receipt)).toContain('KES 20,505.00')
  })

  it('is written once when the network sends it twice', async () => {
    const book = await moneyBook()
    const tomo = await book.signedIn('Tomo')
    const form = await tomo.open('/money/pay')
    const first = await tomo.send(form, paymentOf(book))
    const second = await tomo.send(form, paymentOf(book))
    expect([first.path, second.path]).toEqual(['/money/receipts/1', '/money/receipts/1'])
    expect(await allReceipts(book.db)).toHaveLength(1)
    const other = await tomo.send(form, paymentOf(book, '99'))
    expect(other.status).toBe(409)
  })

  it('takes the next number of an unbroken series when 50 are sent at the same moment', async () => {
    const book = await moneyBook()
    const tomo = await book.signedIn('Tomo')
    const forms = []
    for (let at = 0; at < 50; at++) forms.push(await tomo.open('/money/pay'))
    const pages = await Promise.all(forms.map((form, at) => tomo.send(form, paymentOf(book, String(at + 1)))))
    const numbers = (await allReceipts(book.db)).map(({ transfer }) => transfer.receiptNumber)
    expect(numbers).toEqual(Array.from({ length: 50 }, (_, at) => at + 1))
    for (const [at, page] of pages.entries()) expect(told(page)).toContain(`KES ${at + 1}.00`)
    expect(told(await tomo.open('/money/receipts'))).toContain('The numbers run without a gap')
    expect((await verifyBook(book.db)).brokenAt).toBeNull()
  })

  it('pays the oldest charge first, and what is over is kept', async () => {
    const book = await moneyBook()
    await book.agreedTariff('2026-06-01', 5000)
    await book.deliver({ onDate: '2026-06-02' })
    await book.deliver({ onDate: '2026-06-03' })
    const tomo = await book.signedIn('Tomo')
    expect(told(await tomo.open(`/money/members/${book.ids.Bela}`))).not.toContain('Last charged')
    await tomo.fill('/money/charges', {}, { action: '/money/charges' })
    await tomo.fill('/money/pay', paymentOf(book, '250'))
    const statement = told(await tomo.open(`/money/members/${book.ids.Bela}`))
    expect(statement).toContain('KES 150.00 to pay')
    expect(statement).toContain('2 charges and 1 receipt.')
    expect(statement).toMatch(/Last charged on \d+ Jun 2026; what was drawn since comes with the next charges\./)
    expect(statement).toMatch(/2 Jun 2026, plot 1 Plot 1 .*200.00 200.00 paid/)
    expect(statement).toMatch(/3 Jun 2026, plot 1 Plot 1 .*200.00 400.00 150.00/)
  })
})

describe('a payment that is not right', () => {
  it('offers to put it right or to take it back, on its receipt and behind the line of the list', async () => {
    const book = await moneyBook()
    const tomo = await book.signedIn('Tomo')
    const receipt = await tomo.fill('/money/pay', paymentOf(book))
    const [right, back] = ['/money/receipts/1/mend?as=other-person', '/money/receipts/1/mend']
    expect(told(receipt)).toContain('Not right? Somebody else paid: put it right')
    for (const way of [right, back]) expect(receipt.html.querySelector(`a[href="${way}"]`)).not.toBeNull()
    const list = await tomo.open('/money/receipts')
    const door = list.html.querySelectorAll('a').find((a) => a.text.includes('Not right?'))!
    const choice = await tomo.open(door.getAttribute('href')!)
    expect(choice.html.querySelector(`a[href="${right}"]`)?.text).toContain('put it right')
    expect((await tomo.open(right)).html.querySelector(`a[href="${back}"]`)?.text).toContain('take it back')
  })

  it('is written anew for the same person after it was taken back, and not where another stands in its place', async () => {
    const book = await moneyBook()
    const tomo = await book.signedIn('Tomo')
    await tomo.fill('/money/pay', paymentOf(book))
    const back = await tomo.fill('/money/receipts/1/mend', { original: 'back', reason: 'it was 150' })
    const anew = back.html.querySelectorAll('a').find((a) => a.text === 'Write this payment anew')!
    const form = await tomo.open(anew.getAttribute('href')!)
    expect(form.html.querySelector('option[selected]')?.getAttribute('value')).toBe(book.ids.Bela)
    await tomo.fill('/money/pay', paymentOf(book))
    await tomo.fill('/money/receipts/2/mend?as=other-person', { personId: book.ids.Chidi, reason: 'a brother' })
    expect((await tomo.open('/money/receipts/2')).words).not.toContain('Write this payment anew')
  })
})

describe('a payment taken back', () => {
  it('restores the balance, keeps its number and needs a reason and word of the paper', async () => {
    const book = await moneyBook()
    const tomo = await book.signedIn('Tomo')
    await tomo.fill('/money/pay', paymentOf(book))
    const refused = await tomo.fill('/money/receipts/1/mend', { reason: '' })
    expect(refused.status).toBe(422)
    expect(refused.html.querySelector('#reason-error')?.text).toContain('Please fill this in')
    expect(refused.html.querySelector('#original-error')?.text).toContain('Choose one')
    const receipt = await tomo.fill('/money/receipts/1/mend', { original: 'back', reason: 'on the wrong person' })
    expect(told(receipt)).toMatch(/Taken back\. Tomo took this payment back.* on the wrong person/)
    expect(told(receipt)).toContain('from Bela, was taken back. Now nothing to pay.')
    expect(receipt.html.querySelector('a[href*="/mend"]')).toBeNull()
    const statement = told(await tomo.open(`/money/members/${book.ids.Bela}`))
    expect(statement).toContain('nothing to pay')
    expect(statement).toContain('Receipt 1 taken back: on the wrong person')
    expect((await tomo.open('/money/receipts/1/mend')).status).toBe(409)
    expect(told(await tomo.open('/money/cash-book'))).toMatch(/Held after 0.00 0.00 0.00/)
    const next = await tomo.fill('/money/pay', paymentOf(book))
    expect(next.path).toBe('/money/receipts/2')
  })

  it('is taken back once when two do it at the same moment', async () => {
    const book = await moneyBook()
    const tomo = await book.signedIn('Tomo')
    await tomo.fill('/money/pay', paymentOf(book))
    const forms = [await tomo.open('/money/receipts/1/mend'), await tomo.open('/money/receipts/1/mend')]
    const reason = { original: 'lost', reason: 'twice' }
    const answers = await Promise.all(forms.map((form) => tomo.send(form, reason)))
    expect(answers.map((answer) => answer.status).sort()).toEqual([200, 409])
    expect(await listTransfers(book.db)).toHaveLength(2)
  })
})

describe('the cash book', () => {
  it('keeps cash, wallet and bank apart with what each holds after every line', async () => {
    const book = await moneyBook()
    const tomo = await book.signedIn('Tomo')
    await tomo.fill('/money/pay', { ...paymentOf(book, '100'), paidOn: '2026-06-02' })
    await tomo.fill('/money/pay', { ...paymentOf(book, '40'), column: 'wallet', paidOn: '2026-06-03' })
    await tomo.fill('/money/pay', { ...paymentOf(book, '7'), column: 'bank' })
    const all = told(await tomo.open('/money/cash-book'))
    expect(all).toMatch(/Held before 0.00 0.00 0.00/)
    expect(all).toMatch(/phone money 40.00 100.00 40.00 0.00/)
    expect(all).toMatch(/Held after 100.00 40.00 7.00/)
    const span = told(await tomo.open('/money/cash-book?from=2026-06-03&to=2026-06-03'))
    expect(span).toMatch(/Held before 100.00 0.00 0.00/)
    expect(span).toMatch(/Held after 100.00 40.00 0.00/)
    const wrong = await tomo.open('/money/cash-book?from=soon&to=2026-06-03')
    expect(wrong.status).toBe(422)
    expect(wrong.html.querySelector('#from-error')?.text).toContain('not a day on the calendar')
  })
})

describe('an opening line', () => {
  it('carries money held and sums still to pay over from the old book', async () => {
    const book = await moneyBook()
    const tomo = await book.signedIn('Tomo')
    const form = await tomo.open('/money/settle/from-before')
    const opening = { accountId: optionValue(form, 'accountId', 'cash'), amount: '500', onDate: '2026-06-01' }
    await tomo.send(form, opening)
    const other = await tomo.open('/money/settle/from-before')
    const owed = { accountId: optionValue(other, 'accountId', 'Bela'), amount: '80', words: 'old book, page 12' }
    expect(told(await tomo.send(other, owed))).toMatch(/cash 500.00 .*4 Bela 80.00/)
    expect(told(await tomo.open('/money/cash-book'))).toMatch(/Held after 500.00/)
    const statement = told(await (await book.signedIn('Bela')).open(`/money/members/${book.ids.Bela}`))
    expect(statement).toMatch(/KES 80.00 to pay .* opening old book, page 12 80.00/)
  })

  it('is not written for an account that the form did not offer, nor for a day to come', async () => {
    const book = await moneyBook()
    const tomo = await book.signedIn('Tomo')
    const page = await tomo.fill('/money/settle/from-before', { accountId: 'fee-income', amount: '1' })
    expect(page.html.querySelector('#accountId-error')?.text).toContain('Choose one')
    const cash = optionValue(page, 'accountId', 'cash')
    const later = await tomo.fill('/money/settle/from-before', { accountId: cash, amount: '1', onDate: '2026-06-05' })
    expect(later.html.querySelector('#onDate-error')?.text).toContain('has not come yet')
    expect(await listTransfers(book.db)).toEqual([])
  })
})

describe('the short message', () => {
  it('never takes more than 160 characters and carries no space that a plain phone cannot send', () => {
    const message = messageOf(
      `Receipt 7: KES\u00a0120.50 ${'from a long name '.repeat(8)}`,
      'Upper Ford group of the valley',
    )
    expect(message.length).toBeLessThanOrEqual(160)
    expect(message).not.toMatch(/\u00a0|\u202f/)
    expect(messageOf('Receipt 7.', 'Upper Ford')).toBe('Receipt 7. Upper Ford')
  })
})

describe('the list of receipt numbers', () => {
  it('has each number of each book once: written, taken back with its paper, or missing', async () => {
    const book = await moneyBook()
    const tomo = await book.signedIn('Tomo')
    for (const amount of ['10', '20']) {
      await tomo.fill('/money/pay', { payerId: book.ids.Chidi, amount, column: 'cash' })
    }
    await tomo.fill('/money/receipts/2/mend', { original: 'back', reason: 'written twice' })
    const paper = await tomo.fill('/paper/numbers?as=receipts', {
      name: 'Green',
      firstNumber: '301',
      lastNumber: '350',
    })
    const typed = { number: '303', paidOn: '2026-06-03', payerId: book.ids.Bela, amount: '30', column: 'cash' }
    await tomo.fill(paper.path, typed)
    const lines = (await tomo.agent.get('/money/receipts.csv')).text.trim().split('\r\n').slice(1)
    expect(lines.map((line) => line.split(',').slice(0, 3).join(' '))).toEqual([
      'Green 301–302 missing',
      'Green 303 written',
      'Receipts of this screen 1 written',
      'Receipts of this screen 2 taken back',
    ])
    expect(lines[1]).toContain('2026-06-03,4 Bela,cash,30')
    expect(lines[3]).toMatch(/2026-06-04,written twice,back with me$/)
    for (const visitor of [await book.signedIn('Bela'), book.ada, await book.signedIn('Dela')]) {
      expect((await visitor.open('/money/receipts.csv')).status).toBe(403)
    }
  })

  it('names a gap of millions by its two ends, and takes no new book of millions', async () => {
    const book = await moneyBook()
    const tomo = await book.signedIn('Tomo')
    const refused = await tomo.fill('/paper/numbers?as=receipts', {
      name: 'Long',
      firstNumber: '1',
      lastNumber: '9999999',
    })
    expect(refused.status).toBe(422)
    expect(refused.words).toContain('at most 2,000 numbers')
    // A book that was written in before there was a limit.
    const span = { name: 'Long', firstNumber: 1, lastNumber: 9_999_999 }
    const id = await book.as('Tomo', (pen) => addReceiptBook(pen, span))
    const typed = { number: '9999999', paidOn: '2026-06-03', payerId: book.ids.Bela, amount: '30', column: 'cash' }
    await tomo.fill(`/money/pay/${id}`, typed)
    const lines = (await tomo.agent.get('/money/receipts.csv')).text.trim().split('\r\n').slice(1)
    expect(lines.map((line) => line.split(',').slice(0, 3).join(' '))).toEqual([
      'Long 1–9999998 missing',
      'Long 9999999 written',
    ])
    for (const path of ['/money/receipts?as=books', '/money/receipts', '/money/agree'])
      expect((await tomo.open(path)).text.length).toBeLessThan(100_000)
  })
})
