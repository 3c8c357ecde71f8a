import { ROLES } from '../../../domain/people/permissions.ts'
import { checks, password, seldom, select, text, whole } from '../../web/forms/fields.ts'
import { defineForm } from '../../web/forms/forms.ts'

export const PersonForm = defineForm('people.person', {
  number: whole({ min: 1, max: 9999 }),
  name: text(),
  phone: seldom(text({ max: 30 })),
  roles: checks(ROLES, { atLeast: 1 }),
  language: seldom(select()),
  signInName: seldom(text({ max: 30 })),
  password: seldom(password()),
  minute: { ...seldom(text({ max: 60 })), words: 'decision.minute' },
})
