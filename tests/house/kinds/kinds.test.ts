import { expect, it } from 'vitest'
import { KINDS, KINDS_OF_FIRST_RULE } from '../../../server/database/kinds/kinds.ts'
import { kindsMade } from './made.ts'

it('what each column holds is written down as the steps make it, now and under the first rule of hashing', async () => {
  const { ofFirstRule, now } = await kindsMade()
  expect(now.size).toBeGreaterThan(200)
  // Where it is not: npm run kinds.
  expect(inOrder(KINDS)).toEqual(inOrder(now))
  expect(inOrder(KINDS_OF_FIRST_RULE)).toEqual(inOrder(ofFirstRule))
})

function inOrder(kinds: typeof KINDS): string[] {
  return [...kinds].flatMap(([table, columns]) => [...columns].map(([name, kind]) => `${table} ${name} ${kind}`)).sort()
}
