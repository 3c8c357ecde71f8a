import { password, text, tick } from '../../web/forms/fields.ts'
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
