import { balanceOf } from '../../../domain/fees/ledger.ts'
import type { Id } from '../../../domain/id.ts'
import { write } from '../../book/pen.ts'
import { phoneSeen } from '../../people/person/phone-state.ts'
import { findPerson } from '../../people/person/store.ts'
import { moneyWords } from '../../web/figures/money-words.ts'
import { emptyForm, type Filled, readForm } from '../../web/forms/forms.ts'
import { type Desk, deskFor, inWordsOf, type Pages } from '../../web/pages/desk.ts'
import { found, PageError } from '../../web/pages/errors.ts'
import { formPage } from '../../web/pages/form-page.ts'
import { page } from '../../web/pages/page.ts'
import { listAccounts } from '../ledger/account-store.ts'
import { transfersOf, type WrittenTransfer } from '../ledger/transfer-store.ts'
import { onlyMoneyOf } from '../privacy.ts'
import { listReceiptBooks, paperChecks } from './book-store.ts'
import { VoidForm } from './forms.ts'
import { findReceipt, receiptKey, voidReceipt } from './store.ts'
import { messageLink, messageOf } from './words.ts'

/** One receipt: to print, to send, and to take back with a reason. */
export function addReceiptPages({ get, post }: Pages): void {
  get('/money/receipts/:number', 'money.see-own', showReceipt)
  get('/money/receipts/:number/mend', 'payment.record', newVoid)
  post('/money/receipts/:number/mend', 'payment.record', writeVoid)
}

async function showReceipt(desk: Desk<'number'>) {
  const payerId = await payerOf(desk)
  const forPayer = await deskFor(desk, payerId)
  const [shown, slip] = [await receiptFor(desk, payerId), await receiptFor(forPayer, payerId)]
  return page(desk, 'fees/receipt/page', {
    title: 'fees.receipt.title',
    titleValues: { number: shown.book ? `${shown.book} ${shown.number}` : shown.number },
    receipt: shown,
    slip,
    words: inWordsOf(forPayer),
    mayVoid: shown.voided === null && desk.may('payment.record'),
    anewFor: shown.voided?.isForGood && desk.may('payment.record') ? payerId : null,
  })
}

async function newVoid(desk: Desk<'number'>) {
  const { number } = await standingReceipt(desk)
  return showVoid(desk, number, emptyForm())
}

async function writeVoid(desk: Desk<'number'>) {
  const { number, receipt } = await standingReceipt(desk)
  const form = readForm(VoidForm, desk.body)
  if (!form.ok) return showVoid(desk, number, form)
  const { original, reason } = form.data
  return write(
    desk,
    (pen) => voidReceipt(pen, { receipt: receipt.transfer, reason, original, onDate: desk.today }),
    () => `/money/receipts/${desk.params.number}`,
  )
}

async function standingReceipt(desk: Desk<'number'>) {
  const receipt = found(await findReceipt(desk.db, desk.params.number))
  if (receipt.voidedBy) throw new PageError(409, 'error.already-void')
  return { number: receipt.transfer.receiptNumber!, receipt }
}

async function payerOf(desk: Desk<'number'>): Promise<Id<'person'>> {
  const receipt = await findReceipt(desk.db, desk.params.number)
  const accounts = await listAccounts(desk.db)
  const payerId = accounts.find((account) => account.id === receipt?.transfer.creditAccountId)?.personId
  onlyMoneyOf(desk, payerId)
  return found(payerId ?? undefined)
}

/** The receipt in the words of a desk: of who looks at it, or of who paid. */
async function receiptFor(desk: Desk<'number'>, payerId: Id<'person'>) {
  const receipt = await findReceipt(desk.db, desk.params.number)
  const accounts = await listAccounts(desk.db)
  const { transfer, voidedBy } = found(receipt)
  const number = transfer.receiptNumber!
  const book = (await listReceiptBooks(desk.db)).find((one) => one.id === transfer.receiptBook)
  const paper = (await paperChecks(desk.db)).get(transfer.id)
  const payer = found(await findPerson(desk.db, payerId))
  const { format, locale, group } = desk
  const words = moneyWords(desk)
  const transfers = await transfersOf(desk.db, transfer.creditAccountId)
  const balance = (asWritten: readonly WrittenTransfer[]) =>
    words.balance(balanceOf({ transfers: asWritten, accountId: transfer.creditAccountId }))
  const shown = {
    key: receiptKey(transfer),
    number,
    book: book?.name ?? null,
    paper: paper && {
      name: paper.personName,
      amount: words.money(paper.amountMinor),
      by: paper.writerName,
      at: format.instant(paper.writtenAt),
      agrees: paper.personId === payerId && paper.amountMinor === transfer.amountMinor,
    },
    payer,
    date: format.date(transfer.on),
    amount: words.money(transfer.amountMinor),
    column: accounts.find((account) => account.id === transfer.debitAccountId)!.code,
    words: transfer.words,
    writerName: transfer.writerName,
    writtenAt: format.instant(transfer.writtenAt),
    balance: balance(transfers.filter((one) => one.seq <= transfer.seq)),
    voided: voidedBy && {
      isForGood: Boolean(voidedBy.original), // Otherwise another receipt stands in its place.
      reason: voidedBy.reason,
      original: desk.t(voidedBy.original ? `fees.receipt.original.${voidedBy.original}` : 'receipt.misplaced.original'),
      by: voidedBy.writerName,
      at: format.instant(voidedBy.writtenAt),
    },
  }
  const values = { number, amount: shown.amount, name: payer.name, date: shown.date }
  const sentence = voidedBy
    ? locale.t('fees.receipt.message-void', { ...values, balance: balance(transfers) })
    : locale.t('fees.receipt.message', { ...values, balance: shown.balance })
  const message = messageOf(sentence, group!.name)
  const { phone } = await phoneSeen(desk, payer.id)
  return { ...shown, phone, message, messageHref: messageLink(phone, message) }
}

function showVoid(desk: Desk<'number'>, number: number, filled: Filled) {
  const key = desk.params.number
  return formPage(desk, {
    title: 'fees.void.title',
    titleValues: { number },
    form: VoidForm,
    filled,
    action: `/money/receipts/${key}/mend`,
    submit: 'fees.void.submit',
    intro: ['fees.void.intro'],
    back: `/money/receipts/${key}`,
  })
}
