import { weakness } from '../../../domain/people/weak-password.ts'
import { write } from '../../book/pen.ts'
import { emptyForm, type Filled, readForm, withError } from '../../web/forms/forms.ts'
import { readCookie } from '../../web/pages/cookies.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { formPage } from '../../web/pages/form-page.ts'
import { commonestPasswords } from '../commonest-passwords.ts'
import { hashPassword, ownWords } from '../password.ts'
import { setPassword } from '../person/store.ts'
import { isOwnPassword } from './at-the-door.ts'
import { PasswordForm } from './forms.ts'
import { endOtherSessions, passwordChosen } from './store.ts'

/** Everybody chooses their own password; whoever else is signed in under the name is signed out. */
export function addPasswordPages({ get, post }: Pages): void {
  get('/people/settle/password', 'people.see', (desk) => show(desk, emptyForm()))
  post('/people/settle/password', 'people.see', writePassword)
}

async function writePassword(desk: Desk) {
  const { person, parts, request } = desk
  const form = readForm(PasswordForm, desk.body)
  if (!form.ok) return show(desk, form)
  if (!(await isOwnPassword(desk, form.data.oldPassword))) {
    return show(desk, withError(form, 'oldPassword', 'people.password.wrong-old'))
  }
  if (form.data.password === form.data.oldPassword) {
    return show(desk, withError(form, 'password', 'people.password.same'))
  }
  const weak = weakness(form.data.password, await ownWords(desk, person.id), await commonestPasswords())
  if (weak) return show(desk, withError(form, 'password', `people.password.${weak}`))
  const hash = await hashPassword(form.data.password, parts.hashing)
  return write(
    desk,
    async (pen) => {
      await setPassword(pen, person.id, hash)
      await passwordChosen(pen.trx, person.id)
      await endOtherSessions(pen.trx, { personId: person.id, key: readCookie(request, 'session') ?? '' })
    },
    () => `/people/${person.id}`,
  )
}

function show(desk: Desk, filled: Filled) {
  return formPage(desk, {
    title: 'people.password.title',
    form: PasswordForm,
    filled,
    action: '/people/settle/password',
    // Nothing else opens before.
    ...(desk.person.mustChoose ? {} : { back: '/people' }),
    submit: 'people.password.submit',
    intro: [desk.person.mustChoose ? 'people.password.must' : 'people.password.intro'],
  })
}
