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
  const { app } = await startedBook()
  expect(app.server).toMatchObject({ requestTimeout: 300_000, headersTimeout: 20_000 })
})
