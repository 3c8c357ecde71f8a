import { minuteField } from '../../people/decision/state.ts'
import { date, optional, select, text } from '../../web/forms/fields.ts'
import { defineForm } from '../../web/forms/forms.ts'
import { money } from '../../web/forms/money-field.ts'
import { COUNTED } from '../ledger/account-store.ts'
import { WAYS_DECIDED } from './decision-store.ts'

export const SpanForm = defineForm('fees.span', { from: date(), to: date() })

export function countForm(currency: string) {
  return defineForm('cash.count', {
    column: select(COUNTED),
    countedOn: date(),
    counted: money(currency),
    secondId: select(),
  })
}

export const DecisionForm = defineForm('cash.decision', {
  way: select(WAYS_DECIDED),
  minute: optional(minuteField()),
  words: text({ max: 300 }),
})

/** Words under an open matter: a difference, a payment that is moved. */
export const WordsForm = defineForm('cash.explain', { words: text({ max: 300 }) })
