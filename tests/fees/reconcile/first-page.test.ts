import { beforeEach, expect, it } from 'vitest'
import { openValley } from '../../support/valley.ts'
import type { Visitor } from '../../support/visitor.ts'

let valley: Awaited<ReturnType<typeof openValley>>
let fanta: Visitor
let goro: Visitor

beforeEach(async () => {
  valley = await openValley()
  valley.setNow('2026-11-25T12:00:00Z')
  fanta = await valley.signIn('fanta')
  goro = await valley.signIn('goro')
})

/** A line of the first page with its figure, by where it leads. */
const lineTo = async (who: Visitor, href: string) => {
  const links = (await who.open('/')).html.querySelectorAll(`main a[href^="${href}"]`)
  return links.map(({ text }) => text.replace(/\s+/g, ' ').trim()).join(' | ')
}

it('tells the auditor how many matters are open as the page of the month does, those that could not be checked among them', async () => {
  const agree = '/money/agree'
  expect((await goro.open(agree)).words).toContain('Everything that is written agrees.')
  expect((await goro.open('/')).words).toContain('All agrees since 1 Nov 2026')
  await fanta.fill('/money/move', { from: 'cash', to: 'bank', amount: '20000', words: 'brought to the bank' })
  expect((await goro.open(agree)).words).toContain('1 matter is open.')
  expect((await goro.open('/')).words).not.toContain('All agrees')
  expect(await lineTo(goro, '/money/agree?')).toMatch(/1.*What could not be checked|What could not be checked.*1/)
})
