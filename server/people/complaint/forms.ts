import { HEARING_BODIES } from '../../../domain/people/ladder.ts'
import { askedFields } from '../../book/asked/fields.ts'
import { date, lines, optional, select, text, tick } from '../../web/forms/fields.ts'
import { defineForm } from '../../web/forms/forms.ts'
import { minuteField } from '../decision/state.ts'

export const ComplaintForm = defineForm('complaint', {
  byId: select(),
  words: lines({ max: 1000 }),
  saidOn: date(),
  aboutId: optional(select()),
  plotId: optional(select()),
  ...askedFields,
})

export const HearingForm = defineForm('complaint.hearing', {
  heardOn: date(),
  body: select(HEARING_BODIES),
  bothHeard: tick(),
  outcome: text({ max: 400 }),
  ends: select(['ends', 'goes-on']),
  minute: optional(minuteField()),
})
