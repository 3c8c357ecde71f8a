import { minuteField } from '../../people/decision/state.ts'
import { date, optional, select, text } from '../../web/forms/fields.ts'
import { defineForm } from '../../web/forms/forms.ts'
import { money } from '../../web/forms/money-field.ts'

export function fineForm(currency: string) {
  return defineForm('fines.fine', {
    personId: select(),
    rule: text({ max: 120 }),
    fact: text({ max: 300 }),
    heardOn: date(),
    hearing: text({ max: 300 }),
    amount: optional(money(currency, { least: 1 })),
    lapseOn: optional(date()),
    reason: optional(text({ max: 300 })),
    minute: optional(minuteField()),
  })
}

/** What is said against a fine, and who decides about it. */
export const FineAppealForm = defineForm('fines.appeal', {
  decidedBy: text({ max: 80 }),
  words: text({ max: 300 }),
})

/** How that body decided. */
export const FineDecisionForm = defineForm('fines.decision', {
  way: select(['stands', 'lifted']),
  words: text({ max: 300 }),
})
