import { minuteField } from '../../people/decision/state.ts'
import { date, number, optional, select, text } from '../../web/forms/fields.ts'
import { defineForm } from '../../web/forms/forms.ts'
import { money, perCurrency } from '../../web/forms/money-field.ts'
import { MONEY_COLUMNS } from '../ledger/account-store.ts'

export const paymentForm = perCurrency((currency) =>
  defineForm('fees.payment', {
    payerId: select(),
    amount: money(currency, { least: 1 }),
    column: select(MONEY_COLUMNS),
    paidOn: date(),
    words: optional(text({ max: 120 })),
  }),
)

export const kindRateForm = perCurrency((currency) =>
  defineForm('payment.kind-rate', {
    kind: select(['labour', 'produce']),
    name: text({ max: 40 }),
    price: money(currency, { least: 1 }),
    fromOn: date(),
    minute: minuteField(),
  }),
)

export const KindPaymentForm = defineForm('payment.kind', {
  payerId: select(),
  rateId: select(),
  quantity: number({ min: 0.01, max: 10_000 }, 'days of a labour credit'),
  doneOn: date(),
  words: optional(text({ max: 120 })),
})
