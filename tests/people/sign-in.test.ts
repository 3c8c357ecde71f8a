import { expect, it } from 'vitest'
import { OWN_GROUP, openBook, startedBook } from '../support/book.ts'
import { serialized } from '../support/serialized.ts'
import { chosen, filledFields, type Visitor } from '../support/visitor.ts'

const ADA = { signInName: OWN_GROUP.signInName, password: OWN_GROUP.password }
const BO = { signInName: 'bo', password: 'bo has a word' }

/** Sends the form of the door as it stands, from an address, without following the answer. */
async function knock(visitor: Visitor, fields: { signInName: string; password: string }, from?: string) {
  const csrf = (await visitor.open('/sign-in')).html.querySelector('[name=_csrf]')!.getAttribute('value')!
  const post = visitor.agent.post('/sign-in').type('form')
  if (from) post.set('x-forwarded-for', from)
  return post.send({ _csrf: csrf, _form: `${Math.random()}`, next: '/', ...fields })
}

it('slows down whoever guesses, never whoever knows: others at the same address are not slowed, a device known before is not', async () => {
  const waits: number[] = []
  const wait = async (seconds: number) => void waits.push(seconds)
  const { ada, visitor, db } = await startedBook(undefined, {}, { wait })
  await ada.fill('/people/new', { number: '2', name: 'Bo', roles: ['member'], ...BO })
  const guesser = visitor()
  for (let at = 0; at < 30; at++)
    expect((await knock(guesser, { ...ADA, password: `guess ${at} of many` })).status).toBe(422)
  expect(waits.slice(0, 5)).toEqual([1, 2, 4, 8, 8])
  expect(Math.max(...waits)).toBe(8)
  // The right one goes through after the wait, also from there.
  waits.length = 0
  expect((await knock(guesser, ADA)).status).toBe(303)
  expect(waits).toEqual([8])
  // Ada's own phone, known since she began the book, and Bo at the same address do not wait.
  for (let at = 0; at < 30; at++) await knock(visitor(), { ...ADA, password: `guess ${at} of many` })
  waits.length = 0
  expect((await knock(ada, ADA)).status).toBe(303)
  expect((await knock(visitor(), BO)).status).toBe(303)
  expect(waits).toEqual([])
  // Nothing of what was typed stands in the file.
  expect(JSON.stringify(await db.selectFrom('doorTry').selectAll().execute())).not.toContain('guess')
})

it('remembers what was missed before the program was started anew, and nobody else waits for it', async () => {
  const before = await startedBook()
  await before.ada.fill('/people/new', { number: '2', name: 'Bo', roles: ['member'], ...BO })
  const guesser = before.visitor()
  for (let at = 0; at < 5; at++) await knock(guesser, { ...ADA, password: `guess ${at} of many` })
  const file = await serialized(before.db)
  const waited = async (instant: string | undefined, who: typeof ADA) => {
    const waits: number[] = []
    const again = await openBook(instant, file, { wait: async (seconds) => void waits.push(seconds) })
    expect((await knock(again.visitor(), who)).status).toBe(303)
    return waits
  }
  expect(await waited(undefined, ADA)).toEqual([4])
  expect(await waited(undefined, BO)).toEqual([])
  // After a quarter of an hour nothing is left of it.
  expect(await waited('2026-06-04T05:16:00Z', ADA)).toEqual([])
})

it('believes an address only of the proxy that the setting names', async () => {
  for (const [trustedProxy, heard] of [
    [undefined, false],
    ['127.0.0.1,::ffff:127.0.0.1', true],
  ] as const) {
    const { visitor, db } = await startedBook(undefined, {}, { trustedProxy })
    await knock(visitor(), { ...ADA, password: 'guessed a word' }, '203.0.113.9')
    const { address } = await db
      .selectFrom('doorTry')
      .select('address')
      .where('kind', '=', 'wrong')
      .executeTakeFirstOrThrow()
    expect(address === '203.0.113.9').toBe(heard)
  }
})

it('tells the one concerned and the auditor of misses and refusals, and nobody else', async () => {
  const { ada, visitor } = await startedBook()
  await ada.fill('/people/new', { number: '2', name: 'Bo', roles: ['member'], ...BO })
  const inse = { signInName: 'inse', password: 'inse has a word' }
  await ada.fill('/people/new', { number: '3', name: 'Inse', roles: ['auditor'], ...inse })
  const [bo, auditor] = [visitor(), visitor()]
  await bo.fill('/sign-in', BO)
  await auditor.fill('/sign-in', inse)
  await knock(visitor(), { ...BO, password: 'guessed a word' })
  await knock(visitor(), { signInName: 'nobody at all', password: 'guessed a word' })
  await bo.open('/people/new')
  const own = (await bo.open('/people/sign-ins')).words
  expect(own).toContain('Bo: another password was tried')
  expect(own).not.toContain('nobody has')
  const all = (await auditor.open('/people/sign-ins')).words
  expect(all).toContain('Bo: another password was tried')
  expect(all).toContain('Bo: asked for a page of another office')
  expect(all).toContain('a name that nobody has was tried')
  expect((await ada.open('/people/sign-ins')).words).not.toContain('Bo: another')
})

it('ends the session that the browser had, gives another anti-forgery secret, and ends one or all others from the page', async () => {
  const { ada, visitor, db } = await startedBook()
  const count = async () => (await db.selectFrom('session').select('keyHash').execute()).length
  const form = await ada.open('/people/new')
  await knock(ada, ADA)
  expect(await count()).toBe(1)
  expect((await ada.send(form, { number: '9', name: 'Zoe' })).status).toBe(403)
  const [lost, other] = [visitor(), visitor()]
  await lost.fill('/sign-in', ADA)
  await other.fill('/sign-in', ADA)
  const page = await ada.open('/people/sign-ins')
  const ends = page.html.querySelectorAll('form[action$="/end"]').filter((one) => one.querySelector('button'))
  const one = ends.map((end) => end.getAttribute('action')!).find((action) => action !== '/people/sign-ins/end')!
  await ada.send(page, {}, one)
  expect(await count()).toBe(2)
  await ada.send(await ada.open('/people/sign-ins'), {}, '/people/sign-ins/end')
  expect(await count()).toBe(1)
  for (const gone of [lost, other]) expect((await gone.open('/people')).path).toContain('/sign-in')
  expect((await ada.open('/people')).path).toBe('/people')
})

it('opens nothing to a password that an officer gave before one of their own is chosen', async () => {
  const { ada, visitor } = await startedBook()
  await ada.fill('/people/new', { number: '2', name: 'Bo', roles: ['member'], ...BO })
  const bo = visitor()
  await knock(bo, BO)
  for (const path of ['/', '/people', '/turns', '/people/sign-ins'])
    expect((await bo.open(path)).path).toBe('/people/settle/password')
  const page = await bo.open('/people/settle/password')
  const keys = filledFields(page)
  const sent = await bo.agent
    .post('/people/sign-ins/end')
    .type('form')
    .send({ _csrf: keys._csrf, _form: 'a-form-of-bo' })
  expect([sent.status, sent.text]).toEqual([
    403,
    expect.stringContaining('Choose one of your own first, under your name'),
  ])
  expect(
    (await bo.send(page, { oldPassword: BO.password, password: BO.password }, '/people/settle/password')).status,
  ).toBe(422)
  await bo.send(page, { oldPassword: BO.password, password: chosen(BO.password) }, '/people/settle/password')
  expect((await bo.open('/turns')).status).toBe(200)
  expect((await knock(visitor(), BO)).status).toBe(422)
})

it('takes no password that is guessed first, wherever one is set', async () => {
  const { ada } = await startedBook()
  const guessed = [
    'password',
    'Password1!',
    'P4ssw0rd',
    'iloveyou',
    'qwertyuiop',
    '12345678',
    'aaaaaaaa',
    'abababab',
    'sunshine2026',
  ]
  for (const password of [...guessed, 'upperford', 'Upper Ford group 1', 'ada ada 12']) {
    const own = await ada.fill('/people/settle/password', { oldPassword: ADA.password, password })
    expect(own.words, password).toMatch(/tried first|tries first/)
    const person = { number: '2', name: 'Bo', roles: ['member'], signInName: 'bo', password }
    if (password !== 'ada ada 12') expect((await ada.fill('/people/new', person)).status, password).toBe(422)
  }
  const kept = { oldPassword: ADA.password, password: 'rope kettle thorn eleven' }
  expect((await ada.fill('/people/settle/password', kept)).status).toBe(200)
})

it('sends cookies by no other way than TLS where the setting says so, and no others otherwise', async () => {
  for (const isBehindTls of [true, false]) {
    const { visitor } = await startedBook(undefined, {}, { isBehindTls })
    const page = await visitor().agent.get('/sign-in')
    const cookie = String(page.headers['set-cookie'])
    expect(/^__Host-commonweir_secret=.*Path=\/.*HttpOnly; Secure; SameSite=Lax/.test(cookie)).toBe(isBehindTls)
    expect(page.headers['strict-transport-security'] !== undefined).toBe(isBehindTls)
  }
})
