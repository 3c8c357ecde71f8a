import { HEARING_BODIES } from '../../../domain/people/ladder.ts'
import { date, optional, select, text, tick, whole } from '../../web/forms/fields.ts'
import { defineForm } from '../../web/forms/forms.ts'
import { money } from '../../web/forms/money-field.ts'
import { minuteField } from '../decision/state.ts'

export const WarningForm = defineForm('warning', {
  personId: select(),
  step: select(['word', 'warning']),
  rule: text({ max: 120 }),
  fact: text({ max: 300 }),
  heardOn: date(),
  hearing: text({ max: 300 }),
  body: select(HEARING_BODIES),
  lapseOn: optional(date()),
  reason: optional(text({ max: 300 })),
  minute: optional(minuteField()),
})

/** What a conduct leads to, as the meeting decided; without amount and part it leads to no fine. */
export function conductForm(currency: string) {
  return defineForm('conduct', {
    number: text({ max: 20 }),
    conduct: text({ max: 120 }),
    wordsBefore: whole({ min: 0, max: 9 }),
    warningsBefore: whole({ min: 0, max: 9 }),
    amount: optional(money(currency, { least: 1 })),
    percent: optional(whole({ min: 1, max: 1000 })),
    lapseDays: whole({ min: 1, max: 3650 }),
    fromOn: date(),
    minute: minuteField(),
    ends: tick(),
  })
}

/** What is said against a step, and who is asked. */
export const AppealForm = defineForm('warning.appeal', { toBody: select(HEARING_BODIES), words: text({ max: 300 }) })

/** How that body decided. */
export const RulingForm = defineForm('warning.ruling', { way: select(['stands', 'lifted']), words: text({ max: 300 }) })
