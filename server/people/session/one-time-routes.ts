import { emptyForm, type Filled, readForm, withError } from '../../web/forms/forms.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { formPage } from '../../web/pages/form-page.ts'
import { page } from '../../web/pages/page.ts'
import { isOwnPassword } from './at-the-door.ts'
import { OneTimeForm } from './forms.ts'
import { dropCodes, newCodes } from './one-time-store.ts'

/** A printed list of codes of one's own, of which each opens once after the password; or none any more. */
export function addOneTimePages({ get, post }: Pages): void {
  get('/people/settle/one-time-codes', 'people.see', (desk) => show(desk, emptyForm({ list: 'new' })))
  post('/people/settle/one-time-codes', 'people.see', writeList)
}

async function writeList(desk: Desk) {
  const { db, person, reply } = desk
  const form = readForm(OneTimeForm, desk.body)
  if (!form.ok) return show(desk, form)
  if (!(await isOwnPassword(desk, form.data.oldPassword))) {
    return show(desk, withError(form, 'oldPassword', 'people.password.wrong-old'))
  }
  if (form.data.list === 'none') {
    await dropCodes(db, person.id)
    return reply.redirect('/people/sign-ins', 303)
  }
  return page(desk, 'people/session/one-time', {
    title: 'people.one-time.list-title',
    codes: await newCodes(db, person.id),
  })
}

function show(desk: Desk, filled: Filled) {
  return formPage(desk, {
    title: 'people.one-time.title',
    form: OneTimeForm,
    filled,
    action: '/people/settle/one-time-codes',
    intro: ['people.one-time.intro'],
    back: '/people/sign-ins',
  })
}
