import { ROLES } from '../../../domain/people/permissions.ts'
import { checks, date, optional, password, text, whole } from '../../web/forms/fields.ts'
import { defineForm } from '../../web/forms/forms.ts'

export const PersonForm = defineForm('people.person', {
  number: whole({ min: 1, max: 9999 }),
  name: text(),
  phone: optional(text({ max: 30 })),
  roles: checks(ROLES, { atLeast: 1 }),
  signInName: optional(text({ max: 30 })),
  password: optional(password()),
})

export const RolesForm = defineForm('people.roles', { roles: checks(ROLES, { atLeast: 1 }), fromOn: date() })
