import { date, optional, select, text } from '../../web/forms/fields.ts'
import { defineForm } from '../../web/forms/forms.ts'
import { money } from '../../web/forms/money-field.ts'
import { SIDES } from './store.ts'

export function openingForm(currency: string) {
  return defineForm('fees.opening', {
    accountId: select(),
    side: select(SIDES),
    amount: money(currency, { least: 1 }),
    onDate: date(),
    words: optional(text({ max: 120 })),
  })
}
