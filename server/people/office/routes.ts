import { weakness } from '../../../domain/people/weak-password.ts'
import type { Pen } from '../../book/entries.ts'
import { write } from '../../book/pen.ts'
import { emptyForm, type Filled, type Form, readForm, withError } from '../../web/forms/forms.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { found } from '../../web/pages/errors.ts'
import { formPage } from '../../web/pages/form-page.ts'
import { commonestPasswords } from '../commonest-passwords.ts'
import { minuteOptions } from '../decision/state.ts'
import { hashPassword, ownWords } from '../password.ts'
import { giveOffice, giveSignIn, personOfMatter, writeLeaving } from '../person/grave-store.ts'
import { findPerson, type Person, rolesOf } from '../person/store.ts'
import { agreedBy, graveShown } from './agreed.ts'
import { LeavingForm, RolesForm, SignInGivenForm } from './forms.ts'

/** What no officer does alone: offices given and taken, another sign-in, the end of one. */
export function addGravePages({ get, post }: Pages): void {
  get('/people/:id/change', 'office.give', newRoles)
  post('/people/:id/change', 'office.give', writeRoles)
  get('/people/:id/change?as=sign-in', 'office.give', (desk) => show(desk, SIGN_IN, emptyForm()))
  post('/people/:id/change?as=sign-in', 'office.give', writeSignIn)
  get('/people/:id/change?as=leaving', 'office.give', (desk) => show(desk, LEAVING, emptyForm({ fromOn: desk.today })))
  post('/people/:id/change?as=leaving', 'office.give', writeLeft)
  get('/people/names/matter/:id', 'people.see', showMatter)
}

interface Act {
  form: Form
  words: string
  change: string
}

const ROLES_ACT: Act = { form: RolesForm, words: 'people.roles', change: 'change' }
const SIGN_IN: Act = { form: SignInGivenForm, words: 'people.sign-in-given', change: 'change?as=sign-in' }
const LEAVING: Act = { form: LeavingForm, words: 'people.leaving', change: 'change?as=leaving' }

async function newRoles(desk: Desk<'id'>) {
  const roles = await rolesOf(desk.db, desk.params.id, desk.today)
  return show(desk, ROLES_ACT, emptyForm({ roles, fromOn: desk.today }))
}

async function writeRoles(desk: Desk<'id'>) {
  const { id: personId } = await personOr404(desk)
  const form = readForm(RolesForm, desk.body)
  if (!form.ok) return show(desk, ROLES_ACT, form)
  const agreed = await agreedBy(desk, form, personId)
  if ('wrong' in agreed) return show(desk, ROLES_ACT, agreed.wrong)
  const { roles, fromOn } = form.data
  return writeAbout(desk, (pen) => giveOffice(pen, { personId, roles, fromOn }, agreed))
}

async function writeSignIn(desk: Desk<'id'>) {
  const { id: personId } = await personOr404(desk)
  const form = readForm(SignInGivenForm, desk.body)
  if (!form.ok) return show(desk, SIGN_IN, form)
  const agreed = await agreedBy(desk, form, personId)
  if ('wrong' in agreed) return show(desk, SIGN_IN, agreed.wrong)
  const weak = weakness(form.data.password, await ownWords(desk, personId), await commonestPasswords())
  if (weak) return show(desk, SIGN_IN, withError(form, 'password', `people.password.${weak}`))
  const passwordHash = await hashPassword(form.data.password, desk.parts.hashing)
  return writeAbout(desk, (pen) => giveSignIn(pen, { personId, passwordHash }, agreed))
}

async function writeLeft(desk: Desk<'id'>) {
  const { id: personId } = await personOr404(desk)
  const form = readForm(LeavingForm, desk.body)
  if (!form.ok) return show(desk, LEAVING, form)
  const agreed = await agreedBy(desk, form, personId)
  if ('wrong' in agreed) return show(desk, LEAVING, agreed.wrong)
  const { what, fromOn } = form.data
  return writeAbout(desk, (pen) => writeLeaving(pen, { personId, fromOn, isBack: what === 'back' }, agreed))
}

function writeAbout(desk: Desk<'id'>, work: (pen: Pen) => Promise<string>) {
  return write(desk, work, () => `/people/${desk.params.id}`)
}

/** Where a name is asked for: the page of the person whom it is about. */
async function showMatter({ db, params, reply }: Desk<'id'>) {
  return reply.redirect(`/people/${found((await personOfMatter(db, params.id)) ?? undefined)}`, 303)
}

async function personOr404({ db, params }: Desk<'id'>): Promise<Person> {
  return found(await findPerson(db, params.id))
}

async function show(desk: Desk<'id'>, { form, words, change }: Act, filled: Filled) {
  const { id, name } = await personOr404(desk)
  const shown = await graveShown(desk, form, id)
  return formPage(desk, {
    title: `${words}.title`,
    titleValues: { name },
    form: shown.form,
    filled,
    notes: shown.notes,
    options: { minute: await minuteOptions(desk) },
    action: `/people/${id}/${change}`,
    back: `/people/${id}`,
  })
}
