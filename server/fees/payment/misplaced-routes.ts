import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { write } from '../../book/pen.ts'
import type { Parts } from '../../parts.ts'
import { moneyWords } from '../../web/figures/money-words.ts'
import { emptyForm, type Filled, readForm, withError } from '../../web/forms/forms.ts'
import { found, PageError } from '../../web/pages/errors.ts'
import { formPage } from '../../web/pages/form-page.ts'
import { may } from '../../web/pages/guard.ts'
import { openDayFor } from '../closing/closed-day.ts'
import { listAccounts } from '../ledger/account-store.ts'
import type { WrittenTransfer } from '../ledger/transfer-store.ts'
import { listPayers } from '../payers.ts'
import { listReceiptBooks, recordPaper } from '../receipt/book-store.ts'
import { keyIn } from '../receipt/routes.ts'
import { findReceipt, moveReceipt, type NewPayment, nextReceiptNumber } from '../receipt/store.ts'
import { MisplacedForm, paperCheckForm } from '../treasury-forms.ts'

type WithNumber = { Params: { number: string } }

/** A receipt beside its paper, and a payment that stands on the wrong member brought to the right one. */
export function addMisplacedRoutes(app: FastifyInstance, { db, now }: Parts): void {
  app.get<WithNumber>('/receipts/:number/paper/new', { preHandler: may('payment.record') }, async (request, reply) => {
    await standingReceipt(request)
    return showPaper(request, reply, emptyForm())
  })

  app.post<WithNumber>('/receipts/:number/paper', { preHandler: may('payment.record') }, async (request, reply) => {
    const receipt = await standingReceipt(request)
    const form = readForm(paperCheckForm(moneyWords(request.visit).currency), request.body)
    if (!form.ok) return showPaper(request, reply, form)
    const { personId, amount } = form.data
    if (!(await listPayers(db)).has(personId)) {
      return showPaper(request, reply, withError(form, 'personId', 'error.choose'))
    }
    return write(
      { db, request, reply, at: now() },
      (pen) => recordPaper(pen, { transferId: receipt.id, personId, amountMinor: amount }),
      () => `/money/receipts/${keyIn(request)}`,
    )
  })

  app.get<WithNumber>('/receipts/:number/move/new', { preHandler: may('payment.record') }, async (request, reply) => {
    await standingReceipt(request)
    return showMove(request, reply, emptyForm())
  })

  app.post<WithNumber>('/receipts/:number/move', { preHandler: may('payment.record') }, async (request, reply) => {
    const receipt = await standingReceipt(request)
    const form = readForm(MisplacedForm, request.body)
    if (!form.ok) return showMove(request, reply, form)
    const { personId, reason } = form.data
    const right = (await listPayers(db)).get(personId)
    if (!right) return showMove(request, reply, withError(form, 'personId', 'error.choose'))
    if (right.accountId === receipt.creditAccountId) {
      return showMove(request, reply, withError(form, 'personId', 'money.misplaced.same'))
    }
    const account = (await listAccounts(db)).find(({ id }) => id === receipt.debitAccountId)
    const onDate = await openDayFor(db, { date: receipt.on, today: request.visit.today })
    const words = request.visit.locale.t('money.misplaced.in-place', { number: await nameOf(receipt) })
    let number = 0
    return write(
      { db, request, reply, at: now() },
      async (pen) => {
        number = await nextReceiptNumber(pen.trx)
        const column = account!.code as NewPayment['column']
        await moveReceipt(pen, { receipt, column, personId, reason, words, onDate })
      },
      () => `/money/receipts/${number}`,
    )
  })

  async function standingReceipt(request: FastifyRequest): Promise<WrittenTransfer> {
    const receipt = found(await findReceipt(db, keyIn(request)))
    if (receipt.voidedBy) throw new PageError(409, 'fees.void.already')
    return receipt.transfer
  }

  async function nameOf(receipt: WrittenTransfer): Promise<string> {
    const book = (await listReceiptBooks(db)).find((one) => one.id === receipt.receiptBook)
    return book ? `${book.name} ${receipt.receiptNumber}` : String(receipt.receiptNumber)
  }

  async function showPaper(request: FastifyRequest, reply: FastifyReply, filled: Filled) {
    const form = paperCheckForm(moneyWords(request.visit).currency)
    return showForm(request, reply, { form, filled, name: 'paper' })
  }

  async function showMove(request: FastifyRequest, reply: FastifyReply, filled: Filled) {
    return showForm(request, reply, { form: MisplacedForm, filled, name: 'misplaced', path: 'move' })
  }

  async function showForm(
    request: FastifyRequest,
    reply: FastifyReply,
    shown: { form: Parameters<typeof formPage>[1]['form']; filled: Filled; name: string; path?: string },
  ) {
    const { form, filled, name, path = name } = shown
    const payers = [...(await listPayers(db)).values()].sort((a, b) => a.number - b.number)
    return formPage(
      { request, reply },
      {
        title: `money.${name}.title`,
        form,
        filled,
        options: {
          personId: payers.map(({ personId, number, name: who }) => ({ value: personId, label: `${number} ${who}` })),
        },
        action: `/money/receipts/${keyIn(request)}/${path}`,
        intro: [`money.${name}.intro`],
        back: `/money/receipts/${keyIn(request)}`,
      },
    )
  }
}
