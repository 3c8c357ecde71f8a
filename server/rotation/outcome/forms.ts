import { askedFields } from '../../book/asked/fields.ts'
import { date, optional, select, text, time } from '../../web/forms/fields.ts'
import { defineForm } from '../../web/forms/forms.ts'
import { OUTCOME_CAUSES } from './store.ts'

/** What one tap beside a turn says. */
export const OutcomeForm = defineForm('day.outcome', { cause: select(OUTCOME_CAUSES) })

/** Who excuses a turn for somebody says when and through whom word came. */
export const ExcuseForm = defineForm('day.excuse', {
  onDate: date(),
  clock: time(),
  through: text({ max: 80 }),
  askedHow: askedFields.askedHow,
  decidedFor: optional(text({ max: 200 })),
})

export const StandInForm = defineForm('day.stand-in', {
  personId: select(),
  words: optional(text({ max: 80 })),
  ...askedFields,
})
