import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { balanceOf } from '../../../domain/fees/index.ts'
import { InputError } from '../../../domain/input-error.ts'
import { may as mayDo } from '../../../domain/people/permissions.ts'
import type { Pen } from '../../book/entries.ts'
import { write } from '../../book/pen.ts'
import type { Parts } from '../../parts.ts'
import { findPerson } from '../../people/person/store.ts'
import { moneyWords } from '../../web/figures/money-words.ts'
import { emptyForm, type Filled, readForm } from '../../web/forms/forms.ts'
import { found, PageError } from '../../web/pages/errors.ts'
import { formPage } from '../../web/pages/form-page.ts'
import { may } from '../../web/pages/guard.ts'
import { page } from '../../web/pages/page.ts'
import { VoidForm } from '../forms.ts'
import { listAccounts } from '../ledger/account-store.ts'
import { transfersOf, type WrittenTransfer } from '../ledger/transfer-store.ts'
import { onlyMoneyOf } from '../privacy.ts'
import { listReceiptBooks, paperChecks } from './book-store.ts'
import { findReceipt, receiptKey, voidReceipt } from './store.ts'
import { messageLink, messageOf } from './text.ts'

type WithNumber = { Params: { number: string } }

/** One receipt: to print, to send, and to take back with a reason. */
export function addReceiptRoutes(app: FastifyInstance, { db, now }: Parts): void {
  app.get<WithNumber>('/receipts/:number', { preHandler: may('money.see-own') }, async (request, reply) => {
    const shown = await receiptFor(request)
    return page({ request, reply }, 'fees/receipt/page', {
      title: 'fees.receipt.title',
      titleValues: { number: shown.book ? `${shown.book} ${shown.number}` : shown.number },
      receipt: shown,
      mayVoid: shown.voided === null && mayDo({ roles: request.person!.roles, permission: 'payment.record' }),
    })
  })

  app.get<WithNumber>('/receipts/:number/void/new', { preHandler: may('payment.record') }, async (request, reply) => {
    const { number } = await standingReceipt(request)
    return showVoid(request, reply, number, emptyForm())
  })

  app.post<WithNumber>('/receipts/:number/void', { preHandler: may('payment.record') }, async (request, reply) => {
    const { number, receipt } = await standingReceipt(request)
    const form = readForm(VoidForm, request.body)
    if (!form.ok) return showVoid(request, reply, number, form)
    const { original, reason } = form.data
    return write(
      { db, request, reply, at: now() },
      (pen) => voidOnce(pen, { receipt: receipt.transfer, reason, original, onDate: request.visit.today }),
      () => `/money/receipts/${keyIn(request)}`,
    )
  })

  async function standingReceipt(request: FastifyRequest) {
    const receipt = found(await findReceipt(db, keyIn(request)))
    if (receipt.voidedBy) throw new PageError(409, 'fees.void.already')
    return { number: receipt.transfer.receiptNumber!, receipt }
  }

  async function receiptFor(request: FastifyRequest) {
    const receipt = await findReceipt(db, keyIn(request))
    const accounts = await listAccounts(db)
    const payerId = accounts.find((account) => account.id === receipt?.transfer.creditAccountId)?.personId
    onlyMoneyOf(request, payerId)
    const { transfer, voidedBy } = found(receipt)
    const number = transfer.receiptNumber!
    const book = (await listReceiptBooks(db)).find((one) => one.id === transfer.receiptBook)
    const paper = (await paperChecks(db)).get(transfer.id)
    const payer = found(await findPerson(db, payerId!))
    const { format, locale, group } = request.visit
    const words = moneyWords(request.visit)
    const transfers = await transfersOf(db, transfer.creditAccountId)
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
        reason: voidedBy.reason,
        original: voidedBy.original,
        by: voidedBy.writerName,
        at: format.instant(voidedBy.writtenAt),
      },
    }
    const values = { number, amount: shown.amount, name: payer.name, date: shown.date }
    const sentence = voidedBy
      ? locale.t('fees.receipt.message-void', { ...values, balance: balance(transfers) })
      : locale.t('fees.receipt.message', { ...values, balance: shown.balance })
    const message = messageOf(sentence, group!.name)
    return { ...shown, message, messageHref: messageLink(payer.phone, message) }
  }
}

/** Two people may take the same payment back at the same moment; the second is told. */
export async function voidOnce(pen: Pen, voided: Parameters<typeof voidReceipt>[1]): Promise<string> {
  try {
    return await voidReceipt(pen, voided)
  } catch (error) {
    if (error instanceof InputError && error.code === 'already-void') throw new PageError(409, 'fees.void.already')
    throw error
  }
}

export function keyIn(request: FastifyRequest): string {
  return (request.params as { number: string }).number
}

function showVoid(request: FastifyRequest, reply: FastifyReply, number: number, filled: Filled) {
  const key = keyIn(request)
  return formPage(
    { request, reply },
    {
      title: 'fees.void.title',
      titleValues: { number },
      form: VoidForm,
      filled,
      action: `/money/receipts/${key}/void`,
      submit: 'fees.void.submit',
      intro: ['fees.void.intro'],
      back: `/money/receipts/${key}`,
    },
  )
}
