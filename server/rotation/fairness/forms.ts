import { date, optional, select, text } from '../../web/forms/fields.ts'
import { defineForm } from '../../web/forms/forms.ts'

export const HolderGroupForm = defineForm('turns.holder-group', {
  personId: select(),
  names: optional(text({ max: 120 })),
  fromOn: date(),
})
