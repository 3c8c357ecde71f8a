import { isOwnMatter } from '../../book/names/own-matter.ts'
import { write } from '../../book/pen.ts'
import { moneyWords } from '../../web/figures/money-words.ts'
import { emptyForm, type Filled, readForm, withError } from '../../web/forms/forms.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { found, PageError } from '../../web/pages/errors.ts'
import { formPage } from '../../web/pages/form-page.ts'
import { listAccounts } from '../ledger/account-store.ts'
import { openDayFor } from '../ledger/closed-store.ts'
import type { WrittenTransfer } from '../ledger/transfer-store.ts'
import { payerOptions } from '../payer/options.ts'
import { listPayers } from '../payer/store.ts'
import { listReceiptBooks, recordPaper } from './book-store.ts'
import { MisplacedForm, paperCheckForm } from './forms.ts'
import { findReceipt, moveReceipt, type NewPayment, nextReceiptNumber } from './store.ts'

/** A receipt beside its paper, and a payment that stands on the wrong member brought to the right one. */
export function addMisplacedPages({ get, post }: Pages): void {
  get('/money/receipts/:number/mend?as=paper', 'payment.record', newPaperCheck)
  post('/money/receipts/:number/mend?as=paper', 'payment.record', writePaperCheck)
  get('/money/receipts/:number/mend?as=other-person', 'payment.record', newMove)
  post('/money/receipts/:number/mend?as=other-person', 'payment.record', writeMove)
}

async function newPaperCheck(desk: Desk<'number'>) {
  await standingReceipt(desk)
  return showPaper(desk, emptyForm())
}

async function writePaperCheck(desk: Desk<'number'>) {
  const receipt = await standingReceipt(desk)
  const form = readForm(paperCheckForm(moneyWords(desk).currency), desk.body)
  if (!form.ok) return showPaper(desk, form)
  const { personId, amount } = form.data
  if (!(await listPayers(desk.db)).has(personId)) {
    return showPaper(desk, withError(form, 'personId', 'error.choose'))
  }
  return write(
    desk,
    (pen) => recordPaper(pen, { transferId: receipt.id, personId, amountMinor: amount }),
    () => `/money/receipts/${desk.params.number}`,
  )
}

async function newMove(desk: Desk<'number'>) {
  await standingReceipt(desk)
  return showMove(desk, emptyForm())
}

async function writeMove(desk: Desk<'number'>) {
  const receipt = await standingReceipt(desk)
  const form = readForm(MisplacedForm, desk.body)
  if (!form.ok) return showMove(desk, form)
  const { personId, reason } = form.data
  const right = (await listPayers(desk.db)).get(personId)
  if (!right) return showMove(desk, withError(form, 'personId', 'error.choose'))
  if (right.accountId === receipt.creditAccountId) {
    return showMove(desk, withError(form, 'personId', 'receipt.misplaced.same'))
  }
  if (await isOwnMatter(desk, [personId])) return showMove(desk, withError(form, 'personId', 'receipt.misplaced.own'))
  const account = (await listAccounts(desk.db)).find(({ id }) => id === receipt.debitAccountId)
  const onDate = await openDayFor(desk.db, { date: receipt.on, today: desk.today })
  const words = desk.t('receipt.misplaced.in-place', { number: await nameOf(desk, receipt) })
  let number = 0
  return write(
    desk,
    async (pen) => {
      number = await nextReceiptNumber(pen.trx)
      const column = account!.code as NewPayment['column']
      await moveReceipt(pen, { receipt, column, personId, reason, words, onDate })
    },
    () => `/money/receipts/${number}`,
  )
}

async function standingReceipt(desk: Desk<'number'>): Promise<WrittenTransfer> {
  const receipt = found(await findReceipt(desk.db, desk.params.number))
  if (receipt.voidedBy) throw new PageError(409, 'error.already-void')
  return receipt.transfer
}

async function nameOf({ db }: Desk, receipt: WrittenTransfer): Promise<string> {
  const book = (await listReceiptBooks(db)).find((one) => one.id === receipt.receiptBook)
  return book ? `${book.name} ${receipt.receiptNumber}` : String(receipt.receiptNumber)
}

async function showPaper(desk: Desk<'number'>, filled: Filled) {
  const form = paperCheckForm(moneyWords(desk).currency)
  return showForm(desk, { form, filled, name: 'paper', way: 'paper' })
}

async function showMove(desk: Desk<'number'>, filled: Filled) {
  return showForm(desk, { form: MisplacedForm, filled, name: 'misplaced', way: 'other-person' })
}

async function showForm(
  desk: Desk<'number'>,
  shown: { form: Parameters<typeof formPage>[1]['form']; filled: Filled; name: string; way: string },
) {
  const { form, filled, name, way } = shown
  return formPage(desk, {
    title: `receipt.${name}.title`,
    form,
    filled,
    options: {
      personId: await payerOptions(desk.db),
    },
    action: `/money/receipts/${desk.params.number}/mend?as=${way}`,
    intro: [`receipt.${name}.intro`],
    back: `/money/receipts/${desk.params.number}`,
  })
}
