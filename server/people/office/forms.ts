import { ROLES } from '../../../domain/people/permissions.ts'
import { checks, date, password, select } from '../../web/forms/fields.ts'
import { defineForm } from '../../web/forms/forms.ts'
import { GRAVE_FIELDS } from './agreed.ts'

export const RolesForm = defineForm('people.roles', {
  roles: checks(ROLES, { atLeast: 1 }),
  fromOn: date(),
  ...GRAVE_FIELDS,
})

/** A first password for somebody who lost theirs, or never had one. */
export const SignInGivenForm = defineForm('people.sign-in-given', {
  password: password(),
  ...GRAVE_FIELDS,
})

export const LeavingForm = defineForm('people.leaving', {
  what: select(['left', 'back'] as const),
  fromOn: date(),
  ...GRAVE_FIELDS,
})
