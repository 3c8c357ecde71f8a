import { beforeAll, describe, expect, it } from 'vitest'
import { askedThroughOf } from '../../../server/book/asked/store.ts'
import { openValley } from '../../support/valley.ts'
import { optionValue, type Visitor } from '../../support/visitor.ts'

let valley: Awaited<ReturnType<typeof openValley>>
let [chair, hila]: Visitor[] = []
let turn: string

beforeAll(async () => {
  valley = await openValley()
  ;[chair, hila] = [await valley.signIn('amaru'), await valley.signIn('hila')]
  const swap = (await hila.open('/')).html.querySelector('.turn-card a[href*="/otherwise"]')!.getAttribute('href')!
  turn = swap.split('/otherwise')[0]!
})

/** Every form on which somebody asks, books or complains, whoever writes it in. */
const FORMS: Record<string, () => string> = {
  'a request': () => '/turns/ask',
  'free hours': () => '/turns/ask?as=free',
  'a swap': () => `${turn}/otherwise?as=swap`,
  'somebody who stands in': () => `${turn}/otherwise?as=stand-in`,
  'hours that cannot be': () => '/people/settle/hours',
  'a complaint': () => '/people/complaints/new',
  'somebody who asks to join': () => '/people/applicants/new',
}

describe('what is asked by voice or through a child', () => {
  it.each(Object.keys(FORMS))('%s: the form takes how it was asked and who brought the words', async (name) => {
    const { html, status } = await chair!.open(FORMS[name]!())
    expect(status).toBe(200)
    expect(html.querySelectorAll('[name=askedHow]').length).toBeGreaterThan(0)
    expect(html.querySelectorAll('[name=bearer]').length).toBe(1)
  })

  it('is kept with the entry and told where it is read', async () => {
    const asked = { askedHow: 'child', bearer: 'Nilo' }
    const complaints = await chair!.open('/people/complaints/new')
    const byId = optionValue(complaints, 'byId', 'Hila')
    const complaint = await chair!.send(complaints, { byId, words: 'The line leaks at my valve.', ...asked })
    expect(complaint.words).toContain('Nilo')
    const joins = await chair!.fill('/people/applicants/new', { name: 'Tavi', area: '300', persons: '4', ...asked })
    expect(joins.words).toContain('Nilo')
    const hours = await chair!.open('/people/settle/hours')
    await chair!.send(hours, { personId: optionValue(hours, 'personId', 'Hila'), words: 'burial', ...asked })
    const { entryId } = await valley.db
      .selectFrom('noTurnHours')
      .select('entryId')
      .where('words', '=', 'burial')
      .executeTakeFirstOrThrow()
    const kept = await askedThroughOf(valley.db, [
      entryId,
      ...[complaint, joins].map(({ path }) => path.split('/').at(-1)!),
    ])
    expect([...kept.values()]).toEqual(Array(3).fill({ how: 'child', bearer: 'Nilo' }))
  })
})
