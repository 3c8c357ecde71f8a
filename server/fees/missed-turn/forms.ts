import { date, text } from '../../web/forms/fields.ts'
import { defineForm } from '../../web/forms/forms.ts'

export const HearingForm = defineForm('missed-turn.missed', {
  heardOn: date(),
  hearing: text({ max: 300 }),
  appealUntil: date(),
})

export const AppealForm = defineForm('missed-turn.appeal', { words: text({ max: 300 }) })
