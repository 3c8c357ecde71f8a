import { HEARING_BODIES } from '../../../domain/people/ladder.ts'
import { date, optional, select, text } from '../../web/forms/fields.ts'
import { defineForm } from '../../web/forms/forms.ts'
import { minuteField } from '../decision/state.ts'

export const WarningForm = defineForm('warning', {
  personId: select(),
  step: select(['word', 'warning']),
  rule: text({ max: 120 }),
  fact: text({ max: 300 }),
  heardOn: date(),
  hearing: text({ max: 300 }),
  body: select(HEARING_BODIES),
  lapseOn: date(),
  minute: optional(minuteField()),
})

/** What is said against a step, and who is asked. */
export const AppealForm = defineForm('warning.appeal', { toBody: select(HEARING_BODIES), words: text({ max: 300 }) })

/** How that body decided. */
export const RulingForm = defineForm('warning.ruling', { way: select(['stands', 'lifted']), words: text({ max: 300 }) })
