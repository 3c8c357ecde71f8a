import type { GroupSettings } from '../../../domain/people/group.ts'
import { weakness } from '../../../domain/people/weak-password.ts'
import { newId, type Pen } from '../../book/entries.ts'
import { formOf } from '../../book/pen.ts'
import { emptyForm, type Filled, readForm, withError } from '../../web/forms/forms.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { PageError } from '../../web/pages/errors.ts'
import { formPage } from '../../web/pages/form-page.ts'
import { localDate } from '../../web/pages/visit.ts'
import { commonestPasswords } from '../commonest-passwords.ts'
import { groupChoices, groupOfInput, groupProblem } from '../group/input.ts'
import { bookIsEmpty, setGroup } from '../group/store.ts'
import { hashPassword } from '../password.ts'
import { addPerson, type NewPerson } from '../person/store.ts'
import { letIn } from '../session/at-the-door.ts'
import { isClaimCode } from './claim-code.ts'
import { StartForm } from './forms.ts'

/** The form that starts an empty book. */
export function addFirstRunPages({ get, post }: Pages): void {
  get('/start', 'anybody', newBook)
  post('/start', 'anybody', writeBook, { mostInFiveMinutes: 20, inAll: true })
}

async function newBook(desk: Desk) {
  await onlyWhileEmpty(desk)
  return show(desk, emptyForm({ firstWeekday: '1', timeZone: zoneOfMachine() }))
}

/** Most books are begun where the machine stands; one that counts by Greenwich says nothing. */
function zoneOfMachine(): string {
  const { timeZone } = Intl.DateTimeFormat().resolvedOptions()
  return timeZone.includes('/') && !timeZone.startsWith('Etc') ? timeZone : ''
}

async function writeBook(desk: Desk) {
  const { parts, reply } = desk
  await onlyWhileEmpty(desk)
  const form = readForm(StartForm, desk.body)
  if (!form.ok) return show(desk, form)
  if (!isClaimCode(form.data.code, parts.claimCode))
    return show(desk, withError(form, 'code', 'people.group.code-wrong'))
  const problem = groupProblem(form.data, form)
  if (problem) return show(desk, problem)
  const { personName: name, signInName, password } = form.data
  const weak = weakness(password, [form.data.name, name, signInName], await commonestPasswords())
  if (weak) return show(desk, withError(form, 'password', `people.password.${weak}`))
  const passwordHash = await hashPassword(password, parts.hashing)
  const roles = ['committee', 'member']
  const first = { number: 1, name, phone: null, signInName, roles, passwordHash }
  const personId = await startBook(desk, groupOfInput(form.data), first)
  await letIn(desk, { personId, isShared: false, name: signInName })
  return reply.redirect('/', 303)
}

/** Creates the group, its accounts and its first committee member in one transaction; that member writes it all. */
async function startBook({ db, at, parts, request }: Desk, group: GroupSettings, first: NewPerson): Promise<string> {
  const id = newId()
  const form = formOf(request, () => '/')
  await db.transaction().execute(async (trx) => {
    const pen: Pen = { trx, writtenBy: id, writtenAt: at.toISOString(), form }
    if (!(await bookIsEmpty(trx))) throw new PageError(409, 'people.group.already-started')
    const today = localDate(at, group.timeZone)
    await setGroup(pen, group, today)
    await parts.people.openGroupAccounts(pen)
    await addPerson(pen, first, today, id)
    await parts.people.openMemberAccount(pen, id)
  })
  return id
}

async function onlyWhileEmpty({ db }: Desk): Promise<void> {
  if (!(await bookIsEmpty(db))) throw new PageError(409, 'people.group.already-started')
}

function show(desk: Desk, filled: Filled) {
  return formPage(desk, {
    title: 'people.group.start-title',
    form: StartForm,
    filled,
    options: groupChoices(desk.locale.figures, filled.values),
    action: '/start',
    submit: 'people.group.start-submit',
    intro: ['people.group.start-intro'],
    back: '/',
  })
}
