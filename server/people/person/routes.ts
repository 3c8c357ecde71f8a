import { ROLES } from '../../../domain/people/permissions.ts'
import { write } from '../../book/pen.ts'
import { emptyForm, type Filled, readForm, withError } from '../../web/forms/forms.ts'
import { nextOr, type Repeated } from '../../web/pages/another.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { found } from '../../web/pages/errors.ts'
import { formPage } from '../../web/pages/form-page.ts'
import { hashPassword } from '../password.ts'
import { PersonForm, RolesForm } from './forms.ts'
import { addPerson, findPerson, listPersons, nextPersonNumber, type Person, rolesOf, setRoles } from './store.ts'

/** Several people are written in one after the other. */
const NEXT_PERSON: Repeated = { path: '/people/persons/new', keeps: [] }

/** New persons, and the roles that people have from a day on. */
export function addPersonPages({ get, post }: Pages): void {
  get('/persons/new', 'people.register', newPerson)
  post('/persons', 'people.register', writePerson)
  get('/persons/:id/roles/new', 'people.register', newRoles)
  post('/persons/:id/roles', 'people.register', writeRoles)
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
  const { number, name, phone, roles, signInName, password } = form.data
  const others = await listPersons(db)
  if (others.some((other) => other.number === number)) {
    return personForm(desk, withError(form, 'number', 'people.number-taken', { number }))
  }
  if (signInName && others.some((other) => other.signInName === signInName)) {
    return personForm(desk, withError(form, 'signInName', 'people.person.sign-in-name-taken'))
  }
  if ((signInName === null) !== (password === null)) {
    const field = signInName === null ? 'signInName' : 'password'
    return personForm(desk, withError(form, field, 'people.person.sign-in-halves'))
  }
  const passwordHash = password ? await hashPassword(password, parts.hashing) : null
  const person = { number, name, phone, signInName, roles, passwordHash }
  return write(
    desk,
    async (pen) => parts.people.openMemberAccount(pen, await addPerson(pen, person, today)),
    (id) => nextOr(desk, NEXT_PERSON, `/people/persons/${id}`),
  )
}

async function newRoles(desk: Desk<'id'>) {
  const person = await personOr404(desk)
  const roles = await rolesOf(desk.db, person.id, desk.today)
  return rolesForm(desk, person, emptyForm({ roles, fromOn: desk.today }))
}

async function writeRoles(desk: Desk<'id'>) {
  const person = await personOr404(desk)
  const form = readForm(RolesForm, desk.body)
  if (!form.ok) return rolesForm(desk, person, form)
  const { roles, fromOn } = form.data
  if (person.id === desk.person.id && !roles.includes('committee')) {
    return rolesForm(desk, person, withError(form, 'roles', 'people.roles.own-committee'))
  }
  return write(
    desk,
    (pen) => setRoles(pen, person.id, roles, fromOn),
    () => `/people/persons/${person.id}`,
  )
}

async function personOr404({ db, params }: Desk<'id'>): Promise<Person> {
  return found(await findPerson(db, params.id))
}

function personForm(desk: Desk, filled: Filled) {
  return formPage(desk, {
    title: 'people.person.title',
    form: PersonForm,
    filled,
    action: '/people/persons',
    back: '/people',
    another: true,
    intro: ['people.person.intro'],
  })
}

function rolesForm(desk: Desk, { id, name }: Person, filled: Filled) {
  return formPage(desk, {
    title: 'people.roles.title',
    titleValues: { name },
    form: RolesForm,
    filled,
    action: `/people/persons/${id}/roles`,
    back: `/people/persons/${id}`,
  })
}
