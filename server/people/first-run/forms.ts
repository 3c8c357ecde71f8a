import { password, text } from '../../web/forms/fields.ts'
import { defineForm } from '../../web/forms/forms.ts'
import { groupFields } from '../group/forms.ts'

export const StartForm = defineForm('people.group', {
  code: text({ max: 20 }),
  ...groupFields,
  personName: text(),
  signInName: text({ max: 30 }),
  password: password(),
})
