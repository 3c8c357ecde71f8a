import { mkdtempSync, rmSync, statSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { expect, it } from 'vitest'
import { openDatabase } from '../../server/database/connection.ts'
import { migrateToLatest } from '../../server/database/migrate.ts'
import { OWN_GROUP, startedBook } from '../support/book.ts'

/** Each is read by the URL Standard's rules: tabs and line ends drop out, a stroke back is a stroke, dots go up. */
const AWAY = [
  '//elsewhere.example',
  '/\\elsewhere.example',
  '/\t/elsewhere.example',
  '/\r\n/elsewhere.example',
  '/.//elsewhere.example',
  '/x/..//elsewhere.example',
  'https://elsewhere.example',
  'javascript:alert(1)',
  'elsewhere',
  'http://book.invalid/people',
  '',
]

it('leads from the door to a path of the book and nowhere else', async () => {
  const { ada, visitor } = await startedBook()
  const led = async (next: string | string[]) => {
    const somebody = visitor()
    const page = await somebody.open('/sign-in')
    const csrf = page.html.querySelector('[name=_csrf]')!.getAttribute('value')!
    const sent = { _csrf: csrf, _form: 'a-key', signInName: OWN_GROUP.signInName, password: OWN_GROUP.password, next }
    const { status, headers } = await somebody.agent.post('/sign-in').type('form').send(sent)
    return `${status} ${headers.location}`
  }
  for (const next of AWAY) expect(await led(next), JSON.stringify(next)).toBe('303 /')
  expect(await led(['//elsewhere.example', '/people'])).toBe('303 /')
  expect(await led('/people?sort=name')).toBe('303 /people?sort=name')
  expect(await led('/people\r\nset-cookie: x=1')).toBe('303 /peopleset-cookie:%20x=1')
  expect(
    (await ada.open('/sign-in?next=//elsewhere.example')).html.querySelector('[name=next]')?.getAttribute('value'),
  ).toBe('/')
})

it('makes the file of a new book for its owner alone, and so its log', async () => {
  const folder = mkdtempSync(join(tmpdir(), 'commonweir-mode-'))
  const db = openDatabase(join(folder, 'book.sqlite'))
  await migrateToLatest(db)
  const modeOf = (name: string) => statSync(join(folder, name)).mode & 0o777
  expect([modeOf('book.sqlite'), modeOf('book.sqlite-wal')]).toEqual([0o600, 0o600])
  await db.destroy()
  rmSync(folder, { recursive: true })
})

it('ends a connection whose head or body only trickles', async () => {
  const app = await (await startedBook()).ready()
  expect(app.server).toMatchObject({ requestTimeout: 300_000, headersTimeout: 20_000 })
})

/** What other programs leave at such addresses: their settings, their history, their figures about themselves. */
const NOT_OURS = [
  '/.git/config',
  '/.env',
  '/package.json',
  '/server/main.ts',
  '/metrics',
  '/assets/',
  '/assets/../package.json',
  '/assets/%2e%2e/%2e%2e/package.json',
]

it('shows no file but those of the look, and takes no way but to read a page and to send a form', async () => {
  const app = await (await startedBook()).ready()
  const answered = async (method: string, url: string) =>
    (await app.inject({ method: method as 'GET', url })).statusCode
  for (const url of NOT_OURS) expect(await answered('GET', url), url).toBe(404)
  for (const method of ['PUT', 'PATCH', 'DELETE', 'OPTIONS', 'TRACE'])
    expect(await answered(method, '/people'), method).toBe(404)
  expect(await answered('GET', '/assets/commonweir.css')).toBe(200)
})

it('tells a browser to come by TLS alone from then on, where the setting says that TLS is there, and not otherwise', async () => {
  const told = async (isBehindTls: boolean) => {
    const app = await (await startedBook(undefined, {}, { isBehindTls })).ready()
    return (await app.inject('/sign-in')).headers['strict-transport-security']
  }
  expect(await told(true)).toMatch(/max-age=\d{7,}/)
  expect(await told(false)).toBeUndefined()
})

it('takes the first of a field that comes twice, as its page shows it, and none that is called like what every object has', async () => {
  const { ada } = await startedBook()
  const page = await ada.open('/people/new')
  const given = (name: string) => page.html.querySelector(`main [name=${name}]`)!.getAttribute('value')!
  const sent = (more: string) =>
    ada.agent
      .post('/people/new')
      .type('form')
      .send(`_csrf=${given('_csrf')}&_form=${given('_form')}&name=Besi&roles=member&${more}`)
  const odd = await sent('__proto__[isOfficer]=yes&constructor=x&toString=x&__proto__=x')
  expect(odd.status).toBeLessThan(500)
  expect(({} as Record<string, unknown>).isOfficer).toBeUndefined()
  const { headers } = await sent('number=7&number=8')
  expect((await ada.open(headers.location!)).html.querySelector('h1')!.textContent).toMatch(/^\s*7\D/)
})

it('hides a password while it is typed, and lets a keeper of passwords fill it in', async () => {
  const { ada, visitor } = await startedBook()
  const fields = [
    (await visitor().open('/sign-in')).html.querySelector('main [name=password]')!,
    (await ada.open('/people/new')).html.querySelector('main [name=password]')!,
  ]
  expect(fields.map((field) => [field.getAttribute('type'), field.getAttribute('autocomplete')])).toEqual([
    ['password', 'current-password'],
    ['password', 'new-password'],
  ])
})
