import { write } from '../../book/pen.ts'
import { moneyWords } from '../../web/figures/money-words.ts'
import { emptyForm, type Filled, readForm, withError } from '../../web/forms/forms.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { formPage } from '../../web/pages/form-page.ts'
import { heldIn } from '../ledger/cash-store.ts'
import { closedDayError } from '../ledger/closed-day.ts'
import { heldFeeForm, incomeForm } from './forms.ts'
import { writeHeldFee, writeIncome } from './store.ts'

/** Money that moves without a voucher or a receipt: what a bank or wallet takes for itself, and income that is no fee. */
export function addOtherMoneyPages({ get, post }: Pages): void {
  get('/money/other?as=fee', 'payment.record', (desk) => showFee(desk, emptyForm({ onDate: desk.today })))
  post('/money/other?as=fee', 'payment.record', takeFee)
  get('/money/other', 'payment.record', (desk) => showIncome(desk, emptyForm({ onDate: desk.today })))
  post('/money/other', 'payment.record', takeIncome)
}

async function takeFee(desk: Desk) {
  const form = readForm(heldFeeForm(moneyWords(desk).currency), desk.body)
  if (!form.ok) return showFee(desk, form)
  const { amount, ...fee } = form.data
  const day = await closedDayError(desk, fee.onDate)
  if (day) return showFee(desk, withError(form, 'onDate', day.key, day.values))
  if ((await heldIn(desk.db, fee.column)) < amount)
    return showFee(desk, withError(form, 'amount', 'other-money.move.not-enough'))
  return write(
    desk,
    (pen) => writeHeldFee(pen, { ...fee, amountMinor: amount }),
    () => '/money/cash-book',
  )
}

async function takeIncome(desk: Desk) {
  const form = readForm(incomeForm(moneyWords(desk).currency), desk.body)
  if (!form.ok) return showIncome(desk, form)
  const { amount, ...income } = form.data
  const day = await closedDayError(desk, income.onDate)
  if (day) return showIncome(desk, withError(form, 'onDate', day.key, day.values))
  return write(
    desk,
    (pen) => writeIncome(pen, { ...income, amountMinor: amount }),
    () => '/money/cash-book',
  )
}

function showFee(desk: Desk, filled: Filled) {
  return formPage(desk, {
    title: 'other-money.held-fee.title',
    form: heldFeeForm(moneyWords(desk).currency),
    filled,
    action: '/money/other?as=fee',
    intro: ['other-money.held-fee.intro'],
    back: '/money',
  })
}

function showIncome(desk: Desk, filled: Filled) {
  return formPage(desk, {
    title: 'other-money.income.title',
    form: incomeForm(moneyWords(desk).currency),
    filled,
    action: '/money/other',
    intro: ['other-money.income.intro'],
    back: '/money',
  })
}
