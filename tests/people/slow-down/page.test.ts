import argon2 from 'argon2'
import { afterEach, expect, it, vi } from 'vitest'
import { hashPassword } from '../../../server/people/password.ts'
import { sentUnasked } from '../../laws/told.ts'
import { OWN_GROUP, startedBook } from '../../support/book.ts'
import type { Visitor } from '../../support/visitor.ts'

afterEach(() => {
  vi.restoreAllMocks()
})

/** Work that ends only once it is let go. */
function held() {
  let letGo = () => {}
  const done = new Promise<void>((resolve) => {
    letGo = resolve
  })
  return { done, letGo }
}

const ADA = { signInName: OWN_GROUP.signInName, password: OWN_GROUP.password }
const WRONG = { ...ADA, password: 'not that' }
const knock = async (who: Visitor, fields: typeof ADA) => who.send(await who.open('/sign-in'), fields)

it('five tries of one name wait in a line, a sixth is told to wait, and all of them are answered', async () => {
  const { done, letGo } = held()
  const { visitor } = await startedBook(undefined, {}, { wait: () => done })
  // The third miss and all after it wait.
  for (let miss = 0; miss < 3; miss++) await knock(visitor(), WRONG)
  const pages = await Promise.all(
    Array.from({ length: 6 }, async () => {
      const who = visitor()
      return { who, page: await who.open('/sign-in') }
    }),
  )
  const answers = pages.map(({ who, page }) => who.send(page, WRONG))
  const first = await Promise.race(answers)
  expect([first.status, first.words]).toEqual([429, expect.stringContaining('This name is being tried many times')])
  expect(first.words).not.toContain(WRONG.password)
  letGo()
  expect((await Promise.all(answers)).map(({ status }) => status).toSorted()).toEqual([422, 422, 422, 422, 422, 429])
})

it('whoever signs in while sixty passwords wait to be hashed comes again in a minute', async () => {
  const { visitor } = await startedBook()
  const who = visitor()
  const page = await who.open('/sign-in')
  const { done, letGo } = held()
  vi.spyOn(argon2, 'hash').mockImplementation((() => done) as unknown as typeof argon2.hash)
  const others = Array.from({ length: 62 }, () => hashPassword('a long enough word'))
  const refused = await who.send(page, ADA)
  expect([refused.status, refused.words]).toEqual([503, expect.stringContaining('Too many people sign in at this')])
  letGo()
  await Promise.all(others)
  expect((await knock(who, ADA)).path).toBe('/')
})

it('a group is begun twenty times in five minutes from anywhere, and the next is told to wait', async () => {
  const { ada } = await startedBook()
  const send = async () => ada.agent.post('/start').type('form').send({ name: 'Another' })
  // This book was begun by the first.
  for (let tries = 1; tries < 20; tries++) expect(await send()).not.toMatchObject({ status: 429 })
  const { status, text } = await send()
  expect([status, text]).toEqual([429, expect.stringContaining('Too many tries in a short time. Wait five minutes')])
})

it('a form without its one-time key writes nothing and shows what was typed', async () => {
  const book = await startedBook()
  const fields = { _form: '', name: 'Typed in vain', number: '9', roles: 'member' }
  const seen = await sentUnasked(book, book.ada, { keysOf: '/people/new', to: '/people/new', fields })
  expect(seen).toMatchObject({ status: 409, written: 0 })
  expect(seen.words).toContain('The form came without its one-time key. Open the page again and send it from there')
  expect(seen.words).toContain('Typed in vain')
})
