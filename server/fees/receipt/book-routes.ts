import { receiptGaps } from '../../../domain/fees/receipt.ts'
import { write } from '../../book/pen.ts'
import { moneyWords } from '../../web/figures/money-words.ts'
import { emptyForm, type Filled, readForm, withError } from '../../web/forms/forms.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { found } from '../../web/pages/errors.ts'
import { formPage } from '../../web/pages/form-page.ts'
import { page } from '../../web/pages/page.ts'
import { payerOptions } from '../payer/options.ts'
import { addReceiptBook, listReceiptBooks, type PaperBook } from './book-store.ts'
import { askedFarMore } from './far-more.ts'
import { paperReceiptForm, ReceiptBookForm } from './forms.ts'
import { numbersOf, paperReceiptOf } from './paper-store.ts'
import { allReceipts, SCREEN_BOOK } from './store.ts'

/** A paper book has fifty or a hundred receipts; a slip of the finger adds a nought. Common practice, no source. */
const MOST_NUMBERS = 2000

/** Paper receipt books: each a series of its own, typed in with the numbers that stand on the paper. */
export function addReceiptBookPages({ get, post }: Pages): void {
  get('/money/receipts?as=books', 'closing.see', showBooks)
  get('/paper/numbers?as=receipts', 'payment.record', newBook)
  post('/paper/numbers?as=receipts', 'payment.record', writeBook)
  get('/money/pay/:id', 'payment.record', newPaperReceipt)
  post('/money/pay/:id', 'payment.record', writePaperReceipt)
}

async function showBooks(desk: Desk) {
  const receipts = (await allReceipts(desk.db)).map(({ transfer }) => ({
    bookId: transfer.receiptBook!,
    number: transfer.receiptNumber!,
  }))
  const screen = { id: SCREEN_BOOK, name: desk.t('receipt.book.screen'), firstNumber: 1, lastNumber: null }
  const books = [screen, ...(await listReceiptBooks(desk.db))].map((book) => {
    const own = receipts.filter((receipt) => receipt.bookId === book.id)
    const numbers = own.map((receipt) => receipt.number)
    const firsts = [{ bookId: book.id, firstNumber: book.firstNumber }]
    return {
      ...book,
      paper: book.id !== SCREEN_BOOK,
      used: numbers.length,
      highest: numbers.length ? Math.max(...numbers) : null,
      numbers:
        book.lastNumber === null
          ? desk.t('receipt.book.from', { from: book.firstNumber })
          : desk.t('receipt.book.span', { from: book.firstNumber, to: book.lastNumber }),
      gaps: receiptGaps({ receipts: own, books: firsts }),
    }
  })
  return page(desk, 'fees/receipt/books', { title: 'receipt.books-title', books })
}

async function newBook(desk: Desk) {
  return showBook(desk, emptyForm())
}

async function writeBook(desk: Desk) {
  const form = readForm(ReceiptBookForm, desk.body)
  if (!form.ok) return showBook(desk, form)
  const { name, firstNumber, lastNumber } = form.data
  if (lastNumber < firstNumber) {
    return showBook(desk, withError(form, 'lastNumber', 'receipt.book.last-before-first'))
  }
  if (lastNumber - firstNumber >= MOST_NUMBERS) {
    return showBook(desk, withError(form, 'lastNumber', 'receipt.book.too-many', { most: MOST_NUMBERS }))
  }
  if ((await listReceiptBooks(desk.db)).some((book) => book.name.toLowerCase() === name.toLowerCase())) {
    return showBook(desk, withError(form, 'name', 'receipt.book.name-taken'))
  }
  return write(
    desk,
    (pen) => addReceiptBook(pen, form.data),
    (id) => `/money/pay/${id}`,
  )
}

async function newPaperReceipt(desk: Desk<'id'>) {
  const book = await bookOf(desk)
  const highest = Math.max(book.firstNumber - 1, ...(await numbersOf(desk.db, book)))
  const next = highest < book.lastNumber ? String(highest + 1) : ''
  return showReceipt(desk, book, emptyForm({ number: next, column: 'cash' }))
}

async function writePaperReceipt(desk: Desk<'id'>) {
  const book = await bookOf(desk)
  const form = readForm(paperReceiptForm(moneyWords(desk).currency), desk.body)
  if (!form.ok) return showReceipt(desk, book, form)
  const read = await paperReceiptOf(desk, form.data, book)
  if ('field' in read) return showReceipt(desk, book, withError(form, read.field, read.key, read.values))
  const { payerId, amount } = form.data
  const asked = await askedFarMore(desk, form, { field: 'amount', payerId, amountMinor: amount })
  if (asked) return showReceipt(desk, book, asked)
  return write(desk, read.write, (id) => `/money/receipts/${id}`)
}

async function bookOf(desk: Desk<'id'>): Promise<PaperBook> {
  const { id } = desk.params
  return found((await listReceiptBooks(desk.db)).find((book) => book.id === id))
}

function showBook(desk: Desk, filled: Filled) {
  return formPage(desk, {
    title: 'receipt.book.title',
    form: ReceiptBookForm,
    filled,
    action: '/paper/numbers?as=receipts',
    intro: ['receipt.book.intro'],
    back: '/money/receipts?as=books',
  })
}

async function showReceipt(desk: Desk, book: PaperBook, filled: Filled) {
  return formPage(desk, {
    title: 'receipt.paper-receipt.title',
    titleValues: { name: book.name },
    form: paperReceiptForm(moneyWords(desk).currency),
    filled,
    options: {
      payerId: await payerOptions(desk.db),
    },
    action: `/money/pay/${book.id}`,
    intro: ['receipt.paper-receipt.intro'],
    back: '/money/receipts?as=books',
  })
}
