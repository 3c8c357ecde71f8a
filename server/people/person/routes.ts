import { ROLES } from '../../../domain/people/permissions.ts'
import { weakness } from '../../../domain/people/weak-password.ts'
import { write } from '../../book/pen.ts'
import { emptyForm, type Filled, readForm, withError } from '../../web/forms/forms.ts'
import { nextOr, type Repeated } from '../../web/pages/another.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { formPage } from '../../web/pages/form-page.ts'
import { commonestPasswords } from '../commonest-passwords.ts'
import { languageOptions } from '../language/options.ts'
import { chooseLanguage } from '../language/store.ts'
import { hashPassword } from '../password.ts'
import { PersonForm } from './forms.ts'
import { listPersons, nextPersonNumber } from './store.ts'
import { officeTrouble, writeIn } from './written-in.ts'

/** Several people are written in one after the other. */
const NEXT_PERSON: Repeated = { path: '/people/new', keeps: [] }

/** New persons; whoever comes with an office later than the first has it once it has its names. */
export function addPersonPages({ get, post }: Pages): void {
  get('/people/new', 'people.register', newPerson)
  post('/people/new', 'people.register', writePerson)
}

async function newPerson(desk: Desk) {
  const number = String(await nextPersonNumber(desk.db))
  const asked = ROLES.filter((role) => role === desk.query.office)
  return personForm(desk, emptyForm({ number, roles: [...asked, 'member'] }))
}

async function writePerson(desk: Desk) {
  const { db, today, parts } = desk
  const form = readForm(PersonForm, desk.body)
  if (!form.ok) return personForm(desk, form)
  const { number, name, phone, roles, language, signInName, password, minute } = form.data
  const others = await listPersons(db)
  if (others.some((other) => other.number === number)) {
    return personForm(desk, withError(form, 'number', 'people.number-taken', { number }))
  }
  if (signInName && others.some((other) => other.signInName === signInName)) {
    return personForm(desk, withError(form, 'signInName', 'people.person.sign-in-name-taken'))
  }
  // Whoever has no name to sign in with does so with the number.
  if (signInName && /^\d+$/.test(signInName) && Number(signInName) !== number) {
    return personForm(desk, withError(form, 'signInName', 'people.person.sign-in-number'))
  }
  if ((signInName === null) !== (password === null)) {
    const field = signInName === null ? 'signInName' : 'password'
    return personForm(desk, withError(form, field, 'people.person.sign-in-halves'))
  }
  if (language && !languageOptions().some(({ value }) => value === language)) {
    return personForm(desk, withError(form, 'language', 'error.choose'))
  }
  const trouble = await officeTrouble(desk, roles)
  if (trouble) return personForm(desk, withError(form, 'roles', trouble))
  const weak = password && weakness(password, [desk.group.name, name, signInName ?? ''], await commonestPasswords())
  if (weak) return personForm(desk, withError(form, 'password', `people.password.${weak}`))
  const passwordHash = password ? await hashPassword(password, parts.hashing) : null
  const person = { number, name, phone, signInName, roles, passwordHash, minute }
  return write(
    desk,
    async (pen) => {
      const personId = await writeIn(pen, person, today)
      if (language) await chooseLanguage(pen, { personId, fromOn: today, language, digits: null })
      return parts.people.openMemberAccount(pen, personId)
    },
    (id) => nextOr(desk, NEXT_PERSON, `/people/${id}`),
  )
}

function personForm(desk: Desk, filled: Filled) {
  return formPage(desk, {
    title: 'people.person.title',
    form: PersonForm,
    filled,
    options: { language: languageOptions() },
    action: '/people/new',
    back: '/people',
    another: true,
    intro: ['people.person.intro'],
  })
}
