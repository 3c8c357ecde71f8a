import { isOwnMatter } from '../../book/names/own-matter.ts'
import { write } from '../../book/pen.ts'
import { minuteOptions, minutesShown } from '../../people/decision/state.ts'
import { moneyWords } from '../../web/figures/money-words.ts'
import { emptyForm, type Filled, readForm, withError } from '../../web/forms/forms.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { formPage } from '../../web/pages/form-page.ts'
import { page } from '../../web/pages/page.ts'
import { closedDayError } from '../ledger/closed-day.ts'
import { payerOptions } from '../payer/options.ts'
import { listPayers } from '../payer/store.ts'
import { askedFarMore } from '../receipt/far-more.ts'
import { nextReceiptNumber } from '../receipt/store.ts'
import { KindPaymentForm, kindRateForm } from './forms.ts'
import { kindAmount, listKindRates, ratesOn, recordKindPayment, setKindRate } from './kind-store.ts'

/** Labour days and produce, taken as payment at the rates that the meeting agreed. */
export function addKindPages({ get, post }: Pages): void {
  get('/money/price?as=work', 'tariff.see', showRates)
  get('/money/settle/work', 'payment.record', newRate)
  post('/money/settle/work', 'payment.record', writeRate)
  get('/money/pay?as=work', 'payment.record', newKindPayment)
  post('/money/pay?as=work', 'payment.record', writeKindPayment)
}

async function showRates(desk: Desk) {
  const { format, today } = desk
  const rates = await listKindRates(desk.db)
  const inForce = new Set(ratesOn(rates, today).map(({ id }) => id))
  const minuteOf = await minutesShown(desk.db)
  return page(desk, 'fees/kind-rates', {
    title: 'payment.kind-rates-title',
    rates: rates.toReversed().map((rate) => ({
      ...rate,
      price: moneyWords(desk).inRow(rate.priceMinor),
      from: format.date(rate.fromOn),
      minute: minuteOf(rate.minute),
      state: rate.fromOn > today ? 'to-come' : inForce.has(rate.id) ? 'in-force' : 'past',
    })),
  })
}

async function newRate(desk: Desk) {
  return showRate(desk, emptyForm({ kind: 'labour', fromOn: desk.today }))
}

async function writeRate(desk: Desk) {
  const form = readForm(kindRateForm(moneyWords(desk).currency), desk.body)
  if (!form.ok) return showRate(desk, form)
  const { price, ...rate } = form.data
  return write(
    desk,
    (pen) => setKindRate(pen, { ...rate, priceMinor: price }),
    () => '/money/price?as=work',
  )
}

async function newKindPayment(desk: Desk) {
  return showPayment(desk, emptyForm({ doneOn: desk.today }))
}

async function writeKindPayment(desk: Desk) {
  const form = readForm(KindPaymentForm, desk.body)
  if (!form.ok) return showPayment(desk, form)
  const { payerId, rateId, quantity, doneOn, words } = form.data
  if (!(await listPayers(desk.db)).has(payerId)) {
    return showPayment(desk, withError(form, 'payerId', 'error.choose'))
  }
  // No box is fuller for it, so nothing would show that it never was.
  if (await isOwnMatter(desk, [payerId])) return showPayment(desk, withError(form, 'payerId', 'payment.kind.own'))
  const day = await closedDayError(desk, doneOn)
  if (day) return showPayment(desk, withError(form, 'doneOn', day.key, day.values))
  const rate = ratesOn(await listKindRates(desk.db), doneOn).find(({ id }) => id === rateId)
  if (!rate) return showPayment(desk, withError(form, 'rateId', 'payment.kind.no-rate'))
  const amountMinor = kindAmount(rate, quantity)
  if (amountMinor < 1) return showPayment(desk, withError(form, 'quantity', 'error.money-nothing'))
  const asked = await askedFarMore(desk, form, { field: 'quantity', payerId, amountMinor })
  if (asked) return showPayment(desk, asked)
  const said = desk.t('payment.kind.line', {
    quantity: desk.format.two(quantity),
    name: rate.name,
    words: words ? ` – ${words}` : '',
  })
  let number = 0
  return write(
    desk,
    async (pen) => {
      number = await nextReceiptNumber(pen.trx)
      await recordKindPayment(pen, { personId: payerId, rate, quantity, onDate: doneOn, words: said })
    },
    () => `/money/receipts/${number}`,
  )
}

async function showRate(desk: Desk, filled: Filled) {
  return formPage(desk, {
    title: 'payment.kind-rate.title',
    form: kindRateForm(moneyWords(desk).currency),
    filled,
    options: { minute: await minuteOptions(desk) },
    action: '/money/settle/work',
    intro: ['payment.kind-rate.intro'],
    back: '/money/price?as=work',
  })
}

async function showPayment(desk: Desk, filled: Filled) {
  const { money } = moneyWords(desk)
  const { t } = desk
  const rates = ratesOn(await listKindRates(desk.db), desk.today)
  return formPage(desk, {
    title: 'payment.kind.title',
    form: KindPaymentForm,
    filled,
    options: {
      payerId: await payerOptions(desk.db),
      rateId: rates.map(({ id, name, priceMinor, minute }) => ({
        value: id,
        label: t('payment.kind.rate', { name, price: money(priceMinor), minute }),
      })),
    },
    action: '/money/pay?as=work',
    submit: 'fees.payment.submit',
    intro: rates.length ? ['payment.kind.intro'] : ['payment.kind.intro', 'payment.kind.no-rates'],
    back: rates.length ? '/money' : '/money/settle/work',
  })
}
