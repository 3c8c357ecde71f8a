import { optional, select, text, time } from '../../web/forms/fields.ts'
import { defineForm } from '../../web/forms/forms.ts'
import { OUTCOME_CAUSES } from '../outcome/store.ts'
import { DAY_CHANGES } from './store.ts'

export const DayChangeForm = defineForm('day.change', {
  pumpId: select(),
  kind: select(DAY_CHANGES),
  since: optional(time()),
  until: optional(time()),
})

/** What one tap beside a turn says. */
export const OutcomeForm = defineForm('day.outcome', { cause: select(OUTCOME_CAUSES) })

export const StandInForm = defineForm('day.stand-in', { personId: select(), words: optional(text({ max: 80 })) })
