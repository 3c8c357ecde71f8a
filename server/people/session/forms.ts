import { password, select, text, tick } from '../../web/forms/fields.ts'
import { defineForm } from '../../web/forms/forms.ts'

export const SignInForm = defineForm('people.sign-in', {
  signInName: { ...text({ max: 30 }), autocomplete: 'username' },
  password: password({ min: 1, autocomplete: 'current-password' }),
  shared: tick(),
})

export const PasswordForm = defineForm('people.password', {
  oldPassword: password({ min: 1, autocomplete: 'current-password' }),
  password: password(),
})

/** The same door for whoever has a printed list. */
export const SignInWithCodeForm = defineForm('people.sign-in', {
  ...SignInForm.fields,
  oneTimeCode: { ...text({ max: 20 }), autocomplete: 'one-time-code' },
})

export const OneTimeForm = defineForm('people.one-time', {
  oldPassword: password({ min: 1, autocomplete: 'current-password' }),
  list: select(['new', 'none'] as const),
})

/** Of a password's kind, so that it is never shown nor sent back. */
const code = { ...password({ min: 6, autocomplete: 'off' }), whole: true }

export const CodeForm = defineForm('people.code', { code })

export const OwnCodeForm = defineForm('people.own-code', {
  oldPassword: password({ min: 1, autocomplete: 'current-password' }),
  code,
})
