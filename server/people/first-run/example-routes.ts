import { EXAMPLE_NAME, EXAMPLE_TIME_ZONE, loadExample, PASSWORD, SIGN_INS } from '../../../seed/load.ts'
import { emptyForm, type Filled, readForm, withError } from '../../web/forms/forms.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { PageError } from '../../web/pages/errors.ts'
import { formPage } from '../../web/pages/form-page.ts'
import { page } from '../../web/pages/page.ts'
import { localDate } from '../../web/pages/visit.ts'
import { bookIsEmpty, currentGroup } from '../group/store.ts'
import { hashPassword } from '../password.ts'
import { isClaimCode } from './claim-code.ts'
import { ExampleForm } from './forms.ts'

/** The example valley can be opened only while the book is empty. */
export function addExamplePages({ get, post }: Pages): void {
  post('/start?as=example', 'anybody', openExample, { mostInFiveMinutes: 10, inAll: true })
  get('/sign-in?as=example', 'anybody', showSignIns)
  get('/start?as=example', 'anybody', askCode)
}

/** From the network anybody may knock: there the example, which takes the file for good, asks for the code as an own book does. */
async function askCode(desk: Desk) {
  if (!(await bookIsEmpty(desk.db))) throw new PageError(409, 'people.group.already-started')
  return show(desk, emptyForm())
}

async function openExample(desk: Desk) {
  const { db, at, parts, reply } = desk
  if (!(await bookIsEmpty(db))) throw new PageError(409, 'people.group.already-started')
  if ((parts.phones?.() ?? []).length > 0) {
    const form = readForm(ExampleForm, desk.body)
    if (!form.ok) return show(desk, form)
    if (!isClaimCode(form.data.code, parts.claimCode))
      return show(desk, withError(form, 'code', 'people.group.code-wrong'))
  }
  const passwordHash = await hashPassword(PASSWORD, parts.hashing)
  const today = localDate(at, EXAMPLE_TIME_ZONE)
  if (!(await loadExample(db, { today, passwordHash }))) throw new PageError(409, 'people.group.already-started')
  for (const { signInName, roles } of SIGN_INS) console.log(`Example sign-in: ${signInName} (${roles.join(', ')})`)
  console.log(`Password for all: ${PASSWORD}`)
  return reply.redirect('/sign-in?as=example', 303)
}

function show(desk: Desk, filled: Filled) {
  return formPage(desk, {
    title: 'people.first.example',
    form: ExampleForm,
    filled,
    action: '/start?as=example',
    submit: 'people.first.example-door',
    intro: ['people.first.example-words'],
    back: '/',
  })
}

async function showSignIns(desk: Desk) {
  const isExample = (await currentGroup(desk.db))?.name === EXAMPLE_NAME
  if (!isExample) throw new PageError(404, 'error.page-404')
  return page(desk, 'people/first-run/example', {
    title: 'people.example.title',
    signIns: SIGN_INS,
    password: PASSWORD,
  })
}
