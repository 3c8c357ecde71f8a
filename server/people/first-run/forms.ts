import { password, text } from '../../web/forms/fields.ts'
import { defineForm } from '../../web/forms/forms.ts'
import { groupFields } from '../group/forms.ts'

/** The code stands under the name that it has in the form of an own book. */
export const ExampleForm = defineForm('people.group', { code: text({ max: 20 }) })

export const StartForm = defineForm('people.group', {
  code: text({ max: 20 }),
  ...groupFields,
  personName: text(),
  signInName: text({ max: 30 }),
  password: password(),
})
