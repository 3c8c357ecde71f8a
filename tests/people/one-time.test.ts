import { expect, it } from 'vitest'
import { OWN_GROUP, startedBook } from '../support/book.ts'

const ADA = { signInName: OWN_GROUP.signInName, password: OWN_GROUP.password }

it('asks whoever has a printed list for a code after the password, takes each once, and keeps none of them readable', async () => {
  const { ada, visitor, db } = await startedBook()
  expect((await ada.fill('/people/settle/one-time-codes', { oldPassword: 'not this one', list: 'new' })).status).toBe(
    422,
  )
  const list = await ada.fill('/people/settle/one-time-codes', { oldPassword: ADA.password, list: 'new' })
  const codes = list.html.querySelectorAll('main ol li').map(({ text }) => text.trim())
  expect(new Set(codes).size).toBe(12)
  expect(JSON.stringify(await db.selectFrom('oneTimeCode').selectAll().execute())).not.toContain(codes[0]!.slice(0, 5))
  const somebody = visitor()
  const asked = await somebody.fill('/sign-in', ADA)
  expect(asked.words).toContain('a code that is not crossed out')
  expect((await somebody.open('/people')).path).toContain('/sign-in')
  const wrong = await somebody.send(asked, { ...ADA, oneTimeCode: 'aaaaa-bbbbb' })
  expect(wrong.status).toBe(422)
  // A wrong password is told nothing of a list.
  expect((await visitor().fill('/sign-in', { ...ADA, password: 'not this one' })).words).not.toContain('printed list')
  await somebody.send(wrong, { ...ADA, oneTimeCode: codes[3]!.toUpperCase() })
  expect((await somebody.open('/people')).path).toBe('/people')
  const again = visitor()
  await again.send(await again.fill('/sign-in', ADA), { ...ADA, oneTimeCode: codes[3]! })
  expect((await again.open('/people')).path).toContain('/sign-in')
  await ada.fill('/people/settle/one-time-codes', { oldPassword: ADA.password, list: 'none' })
  await again.fill('/sign-in', ADA)
  expect((await again.open('/people')).path).toBe('/people')
})
