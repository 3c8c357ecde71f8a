import { date, lines, optional, select, text } from '../../web/forms/fields.ts'
import { defineForm } from '../../web/forms/forms.ts'
import { money } from '../../web/forms/money-field.ts'
import { minuteField } from '../decision/state.ts'

/** How the other one gave the mark, where they do not sign in. */
const GIVEN = ['present', 'message', 'ticket'] as const
const OFFICES = ['committee', 'attendant', 'treasurer', 'auditor'] as const

export function handoverForm(currency: string) {
  return defineForm('handover', {
    what: text({ max: 80 }),
    handedOn: date(),
    giverId: select(),
    takerId: select(),
    keys: optional(text({ max: 200 })),
    cash: optional(money(currency)),
    meters: optional(text({ max: 1000 })),
    openMatters: optional(lines({ max: 1000 })),
    otherGiven: optional(select(GIVEN)),
  })
}

export const TermForm = defineForm('handover.term', {
  personId: select(),
  office: select(OFFICES),
  untilOn: date(),
  minute: optional(minuteField()),
})
