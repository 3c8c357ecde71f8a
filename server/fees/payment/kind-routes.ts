import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { write } from '../../book/pen.ts'
import type { Parts } from '../../parts.ts'
import { moneyWords } from '../../web/figures/money-words.ts'
import { emptyForm, type Filled, readForm, withError } from '../../web/forms/forms.ts'
import { formPage } from '../../web/pages/form-page.ts'
import { may } from '../../web/pages/guard.ts'
import { page } from '../../web/pages/page.ts'
import { KindPaymentForm, kindRateForm } from '../arrears/forms.ts'
import { closedDayError } from '../closing/closed-day.ts'
import { listPayers } from '../payers.ts'
import { nextReceiptNumber } from '../receipt/store.ts'
import { kindAmount, listKindRates, ratesOn, recordKindPayment, setKindRate } from './kind-store.ts'

/** Labour days and produce, taken as payment at the rates that the meeting agreed. */
export function addKindRoutes(app: FastifyInstance, { db, now }: Parts): void {
  app.get('/kind-rates', { preHandler: may('tariff.see') }, async (request, reply) => {
    const { format, today } = request.visit
    const rates = await listKindRates(db)
    const inForce = new Set(ratesOn(rates, today).map(({ id }) => id))
    return page({ request, reply }, 'fees/kind-rates', {
      title: 'money.kind-rates-title',
      rates: rates.toReversed().map((rate) => ({
        ...rate,
        price: moneyWords(request.visit).money(rate.priceMinor),
        from: format.date(rate.fromOn),
        state: rate.fromOn > today ? 'to-come' : inForce.has(rate.id) ? 'in-force' : 'past',
      })),
    })
  })

  app.get('/kind-rates/new', { preHandler: may('payment.record') }, async (request, reply) =>
    showRate(request, reply, emptyForm({ kind: 'labour', fromOn: request.visit.today })),
  )

  app.post('/kind-rates', { preHandler: may('payment.record') }, async (request, reply) => {
    const form = readForm(kindRateForm(moneyWords(request.visit).currency), request.body)
    if (!form.ok) return showRate(request, reply, form)
    const { price, ...rate } = form.data
    return write(
      { db, request, reply, at: now() },
      (pen) => setKindRate(pen, { ...rate, priceMinor: price }),
      () => '/money/kind-rates',
    )
  })

  app.get('/kind-payments/new', { preHandler: may('payment.record') }, async (request, reply) =>
    showPayment(request, reply, emptyForm({ doneOn: request.visit.today })),
  )

  app.post('/kind-payments', { preHandler: may('payment.record') }, async (request, reply) => {
    const form = readForm(KindPaymentForm, request.body)
    if (!form.ok) return showPayment(request, reply, form)
    const { payerId, rateId, quantity, doneOn, words } = form.data
    if (!(await listPayers(db)).has(payerId)) {
      return showPayment(request, reply, withError(form, 'payerId', 'error.choose'))
    }
    const day = await closedDayError(db, request, doneOn)
    if (day) return showPayment(request, reply, withError(form, 'doneOn', day.key, day.values))
    const rate = ratesOn(await listKindRates(db), doneOn).find(({ id }) => id === rateId)
    if (!rate) return showPayment(request, reply, withError(form, 'rateId', 'money.kind.no-rate'))
    if (kindAmount(rate, quantity) < 1)
      return showPayment(request, reply, withError(form, 'quantity', 'error.money-nothing'))
    const said = request.visit.locale.t('money.kind.line', {
      quantity: request.visit.format.two(quantity),
      name: rate.name,
      words: words ? ` – ${words}` : '',
    })
    let number = 0
    return write(
      { db, request, reply, at: now() },
      async (pen) => {
        number = await nextReceiptNumber(pen.trx)
        await recordKindPayment(pen, { personId: payerId, rate, quantity, onDate: doneOn, words: said })
      },
      () => `/money/receipts/${number}`,
    )
  })

  function showRate(request: FastifyRequest, reply: FastifyReply, filled: Filled) {
    return formPage(
      { request, reply },
      {
        title: 'money.kind-rate.title',
        form: kindRateForm(moneyWords(request.visit).currency),
        filled,
        action: '/money/kind-rates',
        intro: ['money.kind-rate.intro'],
        back: '/money/kind-rates',
      },
    )
  }

  async function showPayment(request: FastifyRequest, reply: FastifyReply, filled: Filled) {
    const payers = [...(await listPayers(db)).values()].sort((a, b) => a.number - b.number)
    const { money } = moneyWords(request.visit)
    const { t } = request.visit.locale
    const rates = ratesOn(await listKindRates(db), request.visit.today)
    return formPage(
      { request, reply },
      {
        title: 'money.kind.title',
        form: KindPaymentForm,
        filled,
        options: {
          payerId: payers.map(({ personId, number, name }) => ({ value: personId, label: `${number} ${name}` })),
          rateId: rates.map(({ id, name, priceMinor, minute }) => ({
            value: id,
            label: t('money.kind.rate', { name, price: money(priceMinor), minute }),
          })),
        },
        action: '/money/kind-payments',
        submit: 'fees.payment.submit',
        intro: rates.length ? ['money.kind.intro'] : ['money.kind.intro', 'money.kind.no-rates'],
        back: rates.length ? '/money' : '/money/kind-rates/new',
      },
    )
  }
}
