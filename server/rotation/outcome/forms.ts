import { optional, select, text } from '../../web/forms/fields.ts'
import { defineForm } from '../../web/forms/forms.ts'
import { OUTCOME_CAUSES } from './store.ts'

/** What one tap beside a turn says. */
export const OutcomeForm = defineForm('day.outcome', { cause: select(OUTCOME_CAUSES) })

export const StandInForm = defineForm('day.stand-in', { personId: select(), words: optional(text({ max: 80 })) })
