import { write } from '../../book/pen.ts'
import { emptyForm, type Filled, readForm, withError } from '../../web/forms/forms.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { formPage } from '../../web/pages/form-page.ts'
import { SESSION_COOKIE } from '../../web/pages/visit.ts'
import { hashPassword, passwordFits } from '../password.ts'
import { passwordHashOf, setPassword } from '../person/store.ts'
import { PasswordForm } from './forms.ts'
import { endOtherSessions } from './store.ts'

/** Everybody chooses their own password; whoever else is signed in under the name is signed out. */
export function addPasswordPages({ get, post }: Pages): void {
  get('/passwords/new', 'people.see', (desk) => show(desk, emptyForm()))
  post('/passwords', 'people.see', writePassword, { mostInFiveMinutes: 30 })
}

async function writePassword(desk: Desk) {
  const { db, person, parts, request } = desk
  const form = readForm(PasswordForm, desk.body)
  if (!form.ok) return show(desk, form)
  const old = await passwordHashOf(db, person.id)
  if (!old || !(await passwordFits(old, form.data.oldPassword))) {
    return show(desk, withError(form, 'oldPassword', 'people.password.wrong-old'))
  }
  const hash = await hashPassword(form.data.password, parts.hashing)
  return write(
    desk,
    async (pen) => {
      await setPassword(pen, person.id, hash)
      await endOtherSessions(pen.trx, { personId: person.id, key: request.cookies[SESSION_COOKIE] ?? '' })
    },
    () => `/people/persons/${person.id}`,
  )
}

function show(desk: Desk, filled: Filled) {
  return formPage(desk, {
    title: 'people.password.title',
    form: PasswordForm,
    filled,
    action: '/people/passwords',
    back: '/people',
    intro: ['people.password.intro'],
  })
}
