import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { receiptGaps } from '../../../domain/fees/index.ts'
import { write } from '../../book/pen.ts'
import type { Parts } from '../../parts.ts'
import { moneyWords } from '../../web/figures/money-words.ts'
import { sheetOf } from '../../web/figures/sheets.ts'
import { emptyForm, type Filled, readForm, withError } from '../../web/forms/forms.ts'
import { formPage } from '../../web/pages/form-page.ts'
import { may } from '../../web/pages/guard.ts'
import { page } from '../../web/pages/page.ts'
import { localInstant } from '../../web/pages/visit.ts'
import { closedDayError } from '../closing/closed-day.ts'
import { paymentForm } from '../forms.ts'
import { listAccounts } from '../ledger/account-store.ts'
import { listPayers } from '../payers.ts'
import { listReceiptBooks } from '../receipt/book-store.ts'
import { allReceipts, nextReceiptNumber, receiptKey, recordPayment, SCREEN_BOOK } from '../receipt/store.ts'

type ForPayer = { Querystring: { payerId?: string } }

/** So many that a sheet of them comes over a weak line in one go. */
const RECEIPTS_ON_A_SHEET = 500

/** Taking a payment, and the series of receipts. */
export function addPaymentRoutes(app: FastifyInstance, { db, now }: Parts): void {
  app.get<ForPayer>('/payments/new', { preHandler: may('payment.record') }, async (request, reply) => {
    const known = { payerId: request.query.payerId ?? '', column: 'cash', paidOn: request.visit.today }
    return showPayment(request, reply, emptyForm(known))
  })

  app.post('/payments', { preHandler: may('payment.record') }, async (request, reply) => {
    const form = readForm(paymentForm(moneyWords(request.visit).currency), request.body)
    if (!form.ok) return showPayment(request, reply, form)
    const { payerId, amount, column, paidOn, words } = form.data
    const { today } = request.visit
    if (!(await listPayers(db)).has(payerId)) {
      return showPayment(request, reply, withError(form, 'payerId', 'error.choose'))
    }
    if (paidOn > today) return showPayment(request, reply, withError(form, 'paidOn', 'fees.payment.future'))
    const closed = await closedDayError(db, request, paidOn)
    if (closed) return showPayment(request, reply, withError(form, 'paidOn', closed.key, closed.values))
    const happenedAt = paidOn === today ? now().toISOString() : noonOf(request, paidOn)
    const payment = { personId: payerId, amountMinor: amount, column, onDate: paidOn, words }
    let number = 0
    return write(
      { db, request, reply, at: now() },
      async (pen) => {
        number = await nextReceiptNumber(pen.trx)
        await recordPayment(pen, payment, { happenedAt })
      },
      () => `/money/receipts/${number}`,
    )
  })

  app.get<{ Querystring: { sheet?: string } }>(
    '/receipts',
    { preHandler: may('money.see-all') },
    async (request, reply) => {
      const numbered = (await allReceipts(db)).map(({ transfer }) => ({
        bookId: transfer.receiptBook!,
        number: transfer.receiptNumber!,
      }))
      const paper = await listReceiptBooks(db)
      const books = [{ id: SCREEN_BOOK, firstNumber: 1 }, ...paper].map(({ id, firstNumber }) => ({
        bookId: id,
        firstNumber,
      }))
      const names = new Map(paper.map((book) => [book.id, book.name]))
      const gaps = receiptGaps({ receipts: numbered, books })
      const rows = (await receiptRows(request, names)).toReversed()
      const { shown, ...sheet } = sheetOf(rows, { asked: request.query.sheet, size: RECEIPTS_ON_A_SHEET })
      return page({ request, reply }, 'fees/receipt/list', {
        title: 'fees.receipts-title',
        receipts: shown,
        count: rows.length,
        sheet,
        gaps: gaps.map((gap) => ({ ...gap, book: names.get(gap.bookId) ?? null })),
        hasPaperBooks: paper.length > 0,
      })
    },
  )

  async function receiptRows(request: FastifyRequest, books: ReadonlyMap<string, string>) {
    const words = moneyWords(request.visit)
    const codes = new Map((await listAccounts(db)).map((account) => [account.id, account.code]))
    const payers = new Map([...(await listPayers(db)).values()].map((payer) => [payer.accountId, payer]))
    return (await allReceipts(db)).map(({ transfer, voidedBy }) => ({
      key: receiptKey(transfer),
      number: transfer.receiptNumber!,
      book: books.get(transfer.receiptBook!) ?? null,
      date: request.visit.format.date(transfer.on),
      payer: payers.get(transfer.creditAccountId),
      amount: words.money(transfer.amountMinor),
      column: codes.get(transfer.debitAccountId)!,
      words: transfer.words,
      voidReason: voidedBy?.reason ?? null,
    }))
  }

  async function showPayment(request: FastifyRequest, reply: FastifyReply, filled: Filled) {
    const payers = [...(await listPayers(db)).values()].sort((a, b) => a.number - b.number)
    return formPage(
      { request, reply },
      {
        title: 'fees.payment.title',
        form: paymentForm(moneyWords(request.visit).currency),
        filled,
        options: {
          payerId: payers.map(({ personId, number, name }) => ({ value: personId, label: `${number} ${name}` })),
        },
        action: '/money/payments',
        submit: 'fees.payment.submit',
        intro: ['fees.payment.intro'],
        back: '/money',
      },
    )
  }
}

/** A payment of an earlier day without an hour is kept at noon of that day. */
export function noonOf(request: FastifyRequest, date: string): string {
  const timeZone = request.visit.group?.timeZone ?? 'UTC'
  return localInstant(date, '12:00', timeZone) ?? `${date}T12:00:00.000Z`
}
