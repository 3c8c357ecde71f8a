import { beforeEach, expect, it } from 'vitest'
import { approve } from '../../../server/book/names/approvals.ts'
import { recordCount } from '../../../server/fees/cash/count-store.ts'
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

const personCalled = (signInName: string) =>
  valley.db.selectFrom('person').select('entryId').where('signInName', '=', signInName).executeTakeFirstOrThrow()

it('tells the auditor how many matters are open as the page of the month does, those that could not be checked among them', async () => {
  const agree = '/money/agree'
  expect((await goro.open(agree)).words).toContain('Everything that is written agrees.')
  expect((await goro.open('/')).words).toContain('All agrees since 1 Nov 2026')
  await fanta.fill('/money/move', { from: 'cash', to: 'bank', amount: '20000', words: 'brought to the bank' })
  expect((await goro.open(agree)).words).toContain('1 matter is open.')
  expect((await goro.open('/')).words).not.toContain('All agrees')
  expect(await lineTo(goro, '/money/agree?')).toMatch(/1.*What could not be checked|What could not be checked.*1/)
})

it('tells the auditor of what differs alone, and says nothing of the unchecked where all was checked', async () => {
  const { entryId: secondId } = await personCalled('goro')
  const { entryId: writtenBy } = await personCalled('fanta')
  const writtenAt = '2026-11-25T11:00:00.000Z'
  const count = { countedOn: '2026-11-25', countedMinor: 7, secondId }
  const id = await valley.db.transaction().execute((trx) => recordCount({ trx, writtenBy, writtenAt }, count))
  expect(await lineTo(goro, '/money/agree?')).toContain(
    'What does not agreethis month; 1 of them could not be checked 2',
  )
  await valley.db.transaction().execute((trx) => approve({ trx, writtenBy: secondId, writtenAt }, id))
  expect(await lineTo(goro, '/money/agree?')).toContain('What does not agreethis month, without a word under it 1')
})
