import { minuteField } from '../../people/decision/state.ts'
import { date, optional, select, text, whole } from '../../web/forms/fields.ts'
import { defineForm } from '../../web/forms/forms.ts'
import { money } from '../../web/forms/money-field.ts'

export function reliefForm(currency: string) {
  return defineForm('arrears.relief', {
    personId: select(),
    amount: money(currency, { least: 1 }),
    minute: minuteField(),
    words: text({ max: 200 }),
    askedId: select(),
  })
}

/** What of a tenant's arrears the owner is charged with, and by which words of the rule. */
export function moveForm(currency: string) {
  return defineForm('tenure.move', {
    ownerId: select(),
    amount: money(currency, { least: 1 }),
    words: text({ max: 120 }),
  })
}

export function promiseForm(currency: string) {
  return defineForm('arrears.promise', {
    personId: select(),
    amount: money(currency, { least: 1 }),
    every: select(['week', 'month']),
    firstOn: date(),
    times: whole({ min: 1, max: 100 }),
    words: optional(text({ max: 120 })),
  })
}
