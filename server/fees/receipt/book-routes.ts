import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { receiptGaps } from '../../../domain/fees/index.ts'
import { write } from '../../book/pen.ts'
import type { Parts } from '../../parts.ts'
import { moneyWords } from '../../web/figures/money-words.ts'
import { emptyForm, type Filled, readForm, withError } from '../../web/forms/forms.ts'
import { found } from '../../web/pages/errors.ts'
import { formPage } from '../../web/pages/form-page.ts'
import { may } from '../../web/pages/guard.ts'
import { page } from '../../web/pages/page.ts'
import { listPayers } from '../payers.ts'
import { paperReceiptForm, ReceiptBookForm } from '../treasury-forms.ts'
import { addReceiptBook, listReceiptBooks, type PaperBook } from './book-store.ts'
import { numbersOf, paperReceiptOf } from './from-paper.ts'
import { allReceipts, SCREEN_BOOK } from './store.ts'

type WithId = { Params: { id: string } }

/** Paper receipt books: each a series of its own, typed in with the numbers that stand on the paper. */
export function addReceiptBookRoutes(app: FastifyInstance, { db, now }: Parts): void {
  app.get('/receipt-books', { preHandler: may('money.see-all') }, async (request, reply) => {
    const receipts = (await allReceipts(db)).map(({ transfer }) => ({
      bookId: transfer.receiptBook!,
      number: transfer.receiptNumber!,
    }))
    const screen = { id: SCREEN_BOOK, name: request.visit.locale.t('money.book.screen'), firstNumber: 1 }
    const books = [screen, ...(await listReceiptBooks(db))].map((book) => {
      const own = receipts.filter((receipt) => receipt.bookId === book.id)
      const numbers = own.map((receipt) => receipt.number)
      const firsts = [{ bookId: book.id, firstNumber: book.firstNumber }]
      return {
        ...book,
        paper: book.id !== SCREEN_BOOK,
        used: numbers.length,
        highest: numbers.length ? Math.max(...numbers) : null,
        gaps: receiptGaps({ receipts: own, books: firsts }),
      }
    })
    return page({ request, reply }, 'fees/receipt/books', { title: 'money.books-title', books })
  })

  app.get('/receipt-books/new', { preHandler: may('payment.record') }, async (request, reply) =>
    showBook(request, reply, emptyForm()),
  )

  app.post('/receipt-books', { preHandler: may('payment.record') }, async (request, reply) => {
    const form = readForm(ReceiptBookForm, request.body)
    if (!form.ok) return showBook(request, reply, form)
    const { name, firstNumber, lastNumber } = form.data
    if (lastNumber < firstNumber) {
      return showBook(request, reply, withError(form, 'lastNumber', 'money.book.last-before-first'))
    }
    if ((await listReceiptBooks(db)).some((book) => book.name.toLowerCase() === name.toLowerCase())) {
      return showBook(request, reply, withError(form, 'name', 'money.book.name-taken'))
    }
    return write(
      { db, request, reply, at: now() },
      (pen) => addReceiptBook(pen, form.data),
      (id) => `/money/receipt-books/${id}/receipts/new`,
    )
  })

  app.get<WithId>('/receipt-books/:id/receipts/new', { preHandler: may('payment.record') }, async (request, reply) => {
    const book = await bookOf(request)
    const highest = Math.max(book.firstNumber - 1, ...(await numbersOf(db, book)))
    const next = highest < book.lastNumber ? String(highest + 1) : ''
    return showReceipt(request, reply, book, emptyForm({ number: next, column: 'cash' }))
  })

  app.post<WithId>('/receipt-books/:id/receipts', { preHandler: may('payment.record') }, async (request, reply) => {
    const book = await bookOf(request)
    const form = readForm(paperReceiptForm(moneyWords(request.visit).currency), request.body)
    if (!form.ok) return showReceipt(request, reply, book, form)
    const read = await paperReceiptOf(db, form.data, { book, request })
    if ('field' in read) return showReceipt(request, reply, book, withError(form, read.field, read.key, read.values))
    return write({ db, request, reply, at: now() }, read.write, (id) => `/money/receipts/${id}`)
  })

  async function bookOf(request: FastifyRequest): Promise<PaperBook> {
    const { id } = request.params as { id: string }
    return found((await listReceiptBooks(db)).find((book) => book.id === id))
  }

  function showBook(request: FastifyRequest, reply: FastifyReply, filled: Filled) {
    return formPage(
      { request, reply },
      {
        title: 'money.book.title',
        form: ReceiptBookForm,
        filled,
        action: '/money/receipt-books',
        intro: ['money.book.intro'],
        back: '/money/receipt-books',
      },
    )
  }

  async function showReceipt(request: FastifyRequest, reply: FastifyReply, book: PaperBook, filled: Filled) {
    const payers = [...(await listPayers(db)).values()].sort((a, b) => a.number - b.number)
    return formPage(
      { request, reply },
      {
        title: 'money.paper-receipt.title',
        titleValues: { name: book.name },
        form: paperReceiptForm(moneyWords(request.visit).currency),
        filled,
        options: {
          payerId: payers.map(({ personId, number, name }) => ({ value: personId, label: `${number} ${name}` })),
        },
        action: `/money/receipt-books/${book.id}/receipts`,
        intro: ['money.paper-receipt.intro'],
        back: '/money/receipt-books',
      },
    )
  }
}
