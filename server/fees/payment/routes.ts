import { receiptGaps } from '../../../domain/fees/receipt.ts'
import { write } from '../../book/pen.ts'
import { moneyWords } from '../../web/figures/money-words.ts'
import { sheetOf } from '../../web/figures/sheets.ts'
import { asking, emptyForm, type Filled, readForm, withError } from '../../web/forms/forms.ts'
import { keptFrom, nextOr, type Repeated } from '../../web/pages/another.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { formPage } from '../../web/pages/form-page.ts'
import { page } from '../../web/pages/page.ts'
import { listAccounts } from '../ledger/account-store.ts'
import { balancesNow } from '../ledger/cash-store.ts'
import { closedDayError } from '../ledger/closed-day.ts'
import { payersByNumber } from '../payer/options.ts'
import { listPayers } from '../payer/store.ts'
import { sameReceipt } from '../receipt/before-store.ts'
import { listReceiptBooks } from '../receipt/book-store.ts'
import { askedFarMore } from '../receipt/far-more.ts'
import {
  allReceipts,
  nextReceiptNumber,
  noonOf,
  type Receipt,
  receiptKey,
  recordPayment,
  SCREEN_BOOK,
} from '../receipt/store.ts'
import { paymentForm } from './forms.ts'

/** So many that a sheet of them comes over a weak line in one go. */
const RECEIPTS_ON_A_SHEET = 120

/** On the day of payments one comes after the other. */
const NEXT_PAYMENT: Repeated = { path: '/money/pay', keeps: ['column', 'paidOn'] }

/** Taking a payment, and the series of receipts. */
export function addPaymentPages({ get, post }: Pages): void {
  get('/money/pay', 'payment.record', newPayment)
  post('/money/pay', 'payment.record', writePayment)
  get('/money/receipts', 'money.see-all', showReceipts)
}

async function newPayment(desk: Desk) {
  const known = {
    payerId: desk.query.payerId ?? '',
    column: 'cash',
    paidOn: desk.today,
    ...keptFrom(desk, NEXT_PAYMENT),
  }
  return showPayment(desk, emptyForm(known))
}

async function writePayment(desk: Desk) {
  const form = readForm(paymentForm(moneyWords(desk).currency), desk.body)
  if (!form.ok) return showPayment(desk, form)
  const { payerId, amount, column, paidOn, words } = form.data
  const { today } = desk
  if (!(await listPayers(desk.db)).has(payerId)) {
    return showPayment(desk, withError(form, 'payerId', 'error.choose'))
  }
  if (paidOn > today) return showPayment(desk, withError(form, 'paidOn', 'fees.payment.future'))
  const closed = await closedDayError(desk, paidOn)
  if (closed) return showPayment(desk, withError(form, 'paidOn', closed.key, closed.values))
  const asked =
    (await sameAgain(desk, form, form.data)) ??
    (await askedFarMore(desk, form, { field: 'amount', payerId, amountMinor: amount }))
  if (asked) return showPayment(desk, asked)
  const happenedAt = paidOn === today ? desk.at.toISOString() : noonOf(paidOn, desk.timeZone)
  const payment = { personId: payerId, amountMinor: amount, column, onDate: paidOn, words }
  let number = 0
  return write(
    desk,
    async (pen) => {
      number = await nextReceiptNumber(pen.trx)
      await recordPayment(pen, { ...payment, receipt: { book: SCREEN_BOOK, number } }, { happenedAt })
    },
    () => nextOr(desk, NEXT_PAYMENT, `/money/receipts/${number}`),
  )
}

/** Two pages with one payment, or one written twice: the same from the same person on one day is asked about. */
async function sameAgain(
  { db }: Desk,
  form: Filled,
  { payerId, amount, paidOn }: { payerId: string; amount: number; paidOn: string },
): Promise<Filled | null> {
  const accountId = (await listPayers(db)).get(payerId)!.accountId
  const number = await sameReceipt(db, { accountId, amountMinor: amount, onDate: paidOn })
  return number === null ? null : asking(form, 'amount', 'fees.payment.same-again', { number })
}

async function showReceipts(desk: Desk) {
  const numbered = (await allReceipts(desk.db)).map(({ transfer }) => ({
    bookId: transfer.receiptBook!,
    number: transfer.receiptNumber!,
  }))
  const paper = await listReceiptBooks(desk.db)
  const books = [{ id: SCREEN_BOOK, firstNumber: 1 }, ...paper].map(({ id, firstNumber }) => ({
    bookId: id,
    firstNumber,
  }))
  const names = new Map(paper.map((book) => [book.id, book.name]))
  const gaps = receiptGaps({ receipts: numbered, books })
  const lastFirst = (await allReceipts(desk.db)).toReversed()
  const { shown, ...sheet } = sheetOf(lastFirst, { asked: desk.query.sheet, size: RECEIPTS_ON_A_SHEET })
  return page(desk, 'fees/receipt/list', {
    title: 'fees.receipts-title',
    receipts: await receiptRows(desk, shown, names),
    count: lastFirst.length,
    sheet,
    gaps: gaps.map((gap) => ({ ...gap, bookName: names.get(gap.bookId) ?? null })),
    hasPaperBooks: paper.length > 0,
  })
}

async function receiptRows(desk: Desk, receipts: readonly Receipt[], books: ReadonlyMap<string, string>) {
  const words = moneyWords(desk)
  const codes = new Map((await listAccounts(desk.db)).map((account) => [account.id, account.code]))
  const payers = new Map([...(await listPayers(desk.db)).values()].map((payer) => [payer.accountId, payer]))
  return receipts.map(({ transfer, voidedBy }) => ({
    key: receiptKey(transfer),
    number: transfer.receiptNumber!,
    book: books.get(transfer.receiptBook!) ?? null,
    date: desk.format.date(transfer.on),
    payer: payers.get(transfer.creditAccountId),
    amount: words.inRow(transfer.amountMinor),
    column: codes.get(transfer.debitAccountId)!,
    words: transfer.words,
    voidReason: voidedBy?.reason ?? null,
  }))
}

/** Everyone who can pay, with what each has to pay or has paid ahead. */
async function owingOptions(desk: Desk) {
  const owedOf = await balancesNow(desk.db)
  const { balance } = moneyWords(desk)
  return (await payersByNumber(desk.db)).map(({ personId, number, name, accountId }) => {
    const owed = balance(owedOf.get(accountId) ?? 0)
    return { value: personId, label: desk.t('fees.payment.payer-owes', { number, name, owed }) }
  })
}

async function showPayment(desk: Desk, filled: Filled) {
  return formPage(desk, {
    title: 'fees.payment.title',
    form: paymentForm(moneyWords(desk).currency),
    filled,
    options: { payerId: await owingOptions(desk) },
    action: '/money/pay',
    beside: { href: '/paper/cash-book/type', words: 'fees.payment.from-paper' },
    another: true,
    submit: 'fees.payment.submit',
    intro: ['fees.payment.intro'],
    back: '/money',
  })
}
