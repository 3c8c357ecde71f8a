import { expect, it } from 'vitest'
import { weakness } from '../../domain/people/weak-password.ts'
import { commonestPasswords } from '../../server/people/commonest-passwords.ts'
import { OWN_GROUP, openBook } from '../support/book.ts'

it('takes none of the passwords of the public list, and still takes words that do not belong together', async () => {
  const listed = await commonestPasswords()
  expect(listed.size).toBeGreaterThan(10_000)
  // Those that our own words do not know are refused by the list alone.
  const byListAlone = [...listed].filter((one) => weakness(one, [], new Set()) === null)
  expect(byListAlone.length).toBeGreaterThan(1000)
  expect([...listed].filter((one) => weakness(one.toUpperCase(), [], listed) === null)).toEqual([])
  expect(weakness('gravel bucket seldom', [], listed)).toBeNull()
  const page = await (await openBook()).visitor().fill('/start', { ...OWN_GROUP, password: byListAlone[0]! })
  expect([page.status, page.html.querySelector('#password-error')?.text]).toEqual([
    422,
    expect.stringContaining('everybody tries first'),
  ])
})
