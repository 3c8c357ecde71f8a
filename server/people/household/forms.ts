import { checks, date } from '../../web/forms/fields.ts'
import { defineForm } from '../../web/forms/forms.ts'

export const HouseholdForm = defineForm('people.household', {
  personIds: checks(undefined, { atLeast: 1 }),
  fromOn: date(),
})
