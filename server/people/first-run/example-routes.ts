import { EXAMPLE_NAME, EXAMPLE_TIME_ZONE, loadExample, PASSWORD, SIGN_INS } from '../../../seed/load.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { PageError } from '../../web/pages/errors.ts'
import { page } from '../../web/pages/page.ts'
import { localDate } from '../../web/pages/visit.ts'
import { bookIsEmpty, currentGroup } from '../group/store.ts'
import { hashPassword } from '../password.ts'

/** The example valley can be opened only while the book is empty. */
export function addExamplePages({ get, post }: Pages): void {
  post('/start?as=example', 'anybody', openExample, { mostInFiveMinutes: 10, inAll: true })
  get('/sign-in?as=example', 'anybody', showSignIns)
}

async function openExample({ db, at, parts, reply }: Desk) {
  if (!(await bookIsEmpty(db))) throw new PageError(409, 'people.group.already-started')
  const passwordHash = await hashPassword(PASSWORD, parts.hashing)
  const today = localDate(at, EXAMPLE_TIME_ZONE)
  if (!(await loadExample(db, { today, passwordHash }))) throw new PageError(409, 'people.group.already-started')
  for (const { signInName, roles } of SIGN_INS) console.log(`Example sign-in: ${signInName} (${roles.join(', ')})`)
  console.log(`Password for all: ${PASSWORD}`)
  return reply.redirect('/sign-in?as=example', 303)
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
