import { date, select, text } from '../../web/forms/fields.ts'
import { defineForm } from '../../web/forms/forms.ts'
import { money } from '../../web/forms/money-field.ts'
import { COUNTED } from './count-store.ts'

export const SpanForm = defineForm('fees.span', { from: date(), to: date() })

export function countForm(currency: string) {
  return defineForm('money.count', {
    column: select(COUNTED),
    countedOn: date(),
    counted: money(currency),
    secondId: select(),
  })
}

/** Words under an open matter: a count, a difference, a payment that is moved. */
export const WordsForm = defineForm('money.explain', { words: text({ max: 300 }) })
