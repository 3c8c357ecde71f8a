import { date, number, optional, select, text, whole } from '../../web/forms/fields.ts'
import { defineForm } from '../../web/forms/forms.ts'
import { money } from '../../web/forms/money-field.ts'

const LARGEST_SLIP = 9_999_999
const slip = () => whole({ min: 1, max: LARGEST_SLIP })

export function closingForm(currency: string) {
  return defineForm('abstractions.closing', {
    span: select(['day', 'week']),
    pumpId: select(),
    toOn: date(),
    meter: optional(number({ min: 0, max: 999_999_999 })),
    hourMeter: optional(number({ min: 0, max: 1_000_000 }, 'hours on a meter')),
    firstSlip: optional(slip()),
    lastSlip: optional(slip()),
    cash: optional(money(currency)),
    cashToId: optional(select()),
    words: optional(text({ max: 300 })),
  })
}

export const SlipBookForm = defineForm('abstractions.slip-book', {
  pumpId: select(),
  firstNo: slip(),
  lastNo: slip(),
  fromOn: date(),
})
