import { date, number, optional, select, text, whole } from '../../web/forms/fields.ts'
import { defineForm } from '../../web/forms/forms.ts'
import { money } from '../../web/forms/money-field.ts'

export function reliefForm(currency: string) {
  return defineForm('money.relief', {
    personId: select(),
    amount: money(currency, { least: 1 }),
    minute: text({ max: 60 }),
    words: text({ max: 200 }),
    askedId: select(),
  })
}

export function promiseForm(currency: string) {
  return defineForm('money.promise', {
    amount: money(currency, { least: 1 }),
    every: select(['week', 'month']),
    firstOn: date(),
    times: whole({ min: 1, max: 100 }),
    words: optional(text({ max: 120 })),
  })
}

export function fineForm(currency: string) {
  return defineForm('money.fine', {
    personId: select(),
    rule: text({ max: 120 }),
    fact: text({ max: 300 }),
    heardOn: date(),
    hearing: text({ max: 300 }),
    amount: money(currency, { least: 1 }),
    lapseOn: date(),
  })
}

export function kindRateForm(currency: string) {
  return defineForm('money.kind-rate', {
    kind: select(['labour', 'produce']),
    name: text({ max: 40 }),
    price: money(currency, { least: 1 }),
    fromOn: date(),
    minute: text({ max: 60 }),
  })
}

export const KindPaymentForm = defineForm('money.kind', {
  payerId: select(),
  rateId: select(),
  quantity: number({ min: 0.01, max: 10_000 }),
  doneOn: date(),
  words: optional(text({ max: 120 })),
})
