import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { arrearsAgeing, balanceOf, settleOldestFirst } from '../../../domain/fees/index.ts'
import { sum } from '../../../domain/sum.ts'
import { write } from '../../book/pen.ts'
import type { Parts } from '../../parts.ts'
import { moneyWords } from '../../web/figures/money-words.ts'
import { emptyForm, type Filled, readForm } from '../../web/forms/forms.ts'
import { found } from '../../web/pages/errors.ts'
import { formPage } from '../../web/pages/form-page.ts'
import { may } from '../../web/pages/guard.ts'
import { page } from '../../web/pages/page.ts'
import { byAccount, listTransfers, type WrittenTransfer } from '../ledger/transfer-store.ts'
import { listPayers, type Payer } from '../payers.ts'
import { promiseForm } from './forms.ts'
import { dueTimes, type InstalmentPromise, promises, writePromise } from './promise-store.ts'
import { listReliefs } from './relief-store.ts'

type WithPerson = { Params: { personId: string } }

/** What is still to pay, since when, and what was agreed about it: for the treasurer and the auditor. */
export function addArrearsRoutes(app: FastifyInstance, { db, now }: Parts): void {
  app.get('/arrears', { preHandler: may('money.see-all') }, async (request, reply) => {
    const ofAccount = byAccount(await listTransfers(db))
    const agreed = await promises(db)
    const payers = [...(await listPayers(db)).values()].sort((a, b) => a.number - b.number)
    const rows = payers.flatMap(
      (payer) => rowOf(request, payer, ofAccount.get(payer.accountId) ?? [], agreed.get(payer.personId)) ?? [],
    )
    const { money } = moneyWords(request.visit)
    return page({ request, reply }, 'fees/arrears/page', {
      title: 'money.arrears-title',
      rows,
      total: money(sum(rows, (row) => row.owedMinor)),
      reliefs: (await listReliefs(db)).toReversed().map((relief) => ({
        id: relief.id,
        name: relief.personName,
        amount: money(relief.amountMinor),
        minute: relief.minute,
        state: request.visit.locale.t(relief.transfer ? 'money.relief.granted' : 'money.waits-for-name'),
      })),
    })
  })

  app.get<WithPerson>('/promises/:personId/new', { preHandler: may('payment.record') }, async (request, reply) =>
    showPromise(request, reply, emptyForm({ firstOn: request.visit.today, every: 'month' })),
  )

  app.post<WithPerson>('/promises/:personId', { preHandler: may('payment.record') }, async (request, reply) => {
    const { personId } = await payerOf(request)
    const form = readForm(promiseForm(moneyWords(request.visit).currency), request.body)
    if (!form.ok) return showPromise(request, reply, form)
    const { amount, ...promised } = form.data
    return write(
      { db, request, reply, at: now() },
      (pen) => writePromise(pen, { personId, amountMinor: amount, ...promised }),
      () => '/money/arrears',
    )
  })

  async function payerOf(request: FastifyRequest): Promise<Payer> {
    return found((await listPayers(db)).get((request.params as { personId: string }).personId))
  }

  async function showPromise(request: FastifyRequest, reply: FastifyReply, filled: Filled) {
    const { personId, name } = await payerOf(request)
    return formPage(
      { request, reply },
      {
        title: 'money.promise.title',
        titleValues: { name },
        form: promiseForm(moneyWords(request.visit).currency),
        filled,
        action: `/money/promises/${personId}`,
        intro: ['money.promise.intro'],
        back: '/money/arrears',
      },
    )
  }
}

function rowOf(
  request: FastifyRequest,
  payer: Payer,
  transfers: readonly WrittenTransfer[],
  promise: InstalmentPromise | undefined,
) {
  const { accountId } = payer
  const owedMinor: number = balanceOf({ transfers, accountId })
  if (owedMinor <= 0) return null
  const { money, moneyOrNothing } = moneyWords(request.visit)
  const { charges } = settleOldestFirst({ transfers, accountId })
  const open = charges.filter((one) => one.openMinor > 0)
  return {
    ...payer,
    owedMinor,
    owed: money(owedMinor),
    since: open[0] ? request.visit.format.date(open[0].on) : '',
    bands: arrearsAgeing({ charges, asOf: request.visit.today }).bands.map(({ amountMinor }) =>
      moneyOrNothing(amountMinor),
    ),
    promise: promise ? promiseWords(request, promise, paidSince(transfers, accountId, promise)) : '',
  }
}

/** What was paid from the first day of the promise on. */
function paidSince(transfers: readonly WrittenTransfer[], accountId: string, { firstOn }: InstalmentPromise): number {
  const own = transfers.filter(
    ({ kind, correctsId, on, creditAccountId, debitAccountId }) =>
      on >= firstOn &&
      (creditAccountId === accountId ? kind === 'receipt' : debitAccountId === accountId && correctsId),
  )
  const receipts = new Set(own.filter(({ kind }) => kind === 'receipt').map(({ id }) => id))
  return own.reduce((sum, { id, amountMinor, correctsId }) => {
    if (receipts.has(id)) return sum + amountMinor
    return receipts.has(correctsId ?? '') ? sum - amountMinor : sum
  }, 0)
}

function promiseWords(request: FastifyRequest, promise: InstalmentPromise, paidMinor: number): string {
  const { money } = moneyWords(request.visit)
  const due = dueTimes(promise, request.visit.today)
  return request.visit.locale.t('money.promise.line', {
    amount: money(promise.amountMinor),
    every: request.visit.locale.t(`money.every.${promise.every}`),
    due: money(due * promise.amountMinor),
    paid: money(paidMinor),
    times: promise.times,
  })
}
