import { expect, it } from 'vitest'
import { carried, quorumOf } from '../../../domain/people/decision.ts'
import { appendEntry } from '../../../server/book/entries.ts'
import { restingOn } from '../../../server/book/minutes/store.ts'
import { openValley } from '../../support/valley.ts'
import { optionValue, type Seen } from '../../support/visitor.ts'

it('counts who must be there and which votes carry as the handbook of meetings does', () => {
  // Robert's Rules of Order, newly revised, 12th edition, 44:1 and 44:5 (from memory).
  const majority = [19, 20, 21].map((mayVote) => quorumOf({ part: 'more-than-half', mayVote }))
  expect(majority).toEqual([10, 11, 11])
  expect([30, 31, 32, 33].map((mayVote) => quorumOf({ part: 'two-thirds', mayVote }))).toEqual([20, 21, 22, 22])
  expect([carried({ votesFor: 10, votesAgainst: 9 }), carried({ votesFor: 9, votesAgainst: 9 })]).toEqual([true, false])
  expect([carried({ votesFor: 9, votesAgainst: null }), carried({ votesFor: null, votesAgainst: 0 })]).toEqual([
    null,
    null,
  ])
})

const actionOf = (page: Seen) => page.html.querySelector('form[action^="/book/names/"]')!.getAttribute('action')!

it('one book of decisions: a number is typed before it is written, signed by a second officer, and tells what rests on it', async () => {
  const valley = await openValley()
  const [amaru, besi] = [await valley.signIn('amaru'), await valley.signIn('besi')]
  const [fanta, hila, isko] = [await valley.signIn('fanta'), await valley.signIn('hila'), await valley.signIn('isko')]

  // Nobody is stopped: the treasurer writes a rate by a number that the book does not have yet.
  const rate = { kind: 'labour', name: 'day at the fence', price: '300', fromOn: '2026-11-25', minute: 'Min. 7/2' }
  const rates = await fanta.fill('/money/settle/work', rate)
  expect(rates.words).toContain('Min. 7/2 not yet written in the decisions book')
  const reliefForm = await fanta.open('/money/relief')
  const relief = {
    personId: optionValue(reliefForm, 'personId', 'Hila'),
    askedId: optionValue(reliefForm, 'askedId', 'Besi'),
    ...{ amount: '1', minute: '7/3', words: 'hail' },
  }
  expect((await fanta.send(reliefForm, relief)).words).toContain('7/3 not yet written in the decisions book')
  expect((await isko.open('/people/decisions')).words).toMatch(/not yet written in.*7\/2.?one act.*7\/3.?one act/i)

  await amaru.fill('/people/settle/quorum', { body: 'meeting', part: 'more-than-half', fromOn: '2026-11-01' })
  const typed = { number: 'min. 7/2', metOn: '2026-11-20', words: 'A day at the fence is worth 300.', present: '5' }
  const wrong = await amaru.fill('/people/decisions/new', { ...typed, votesFor: '4', votesAgainst: '2', abstained: '' })
  expect([wrong.status, wrong.words]).toEqual([422, expect.stringContaining('6 votes are more than were there')])
  const votes = { votesFor: '4', votesAgainst: '1' }
  await amaru.fill('/people/decisions/new', { ...typed, ...votes })
  const closed = {
    number: '7/3',
    metOn: '2026-11-20',
    words: 'Relief for a household.',
    officersWords: 'Hila, for hail.',
  }
  const list = await amaru.fill('/people/decisions/new', closed)
  expect(list.words).toMatch(/Waits for the name of a second officer/)
  expect((await amaru.fill('/people/decisions/new', { ...typed, number: 'MIN 7 / 2' })).words).toContain(
    'stands in the book already',
  )

  const doors = list.html.querySelectorAll('a[href^="/people/lines/decision/"]').map((a) => a.getAttribute('href')!)
  const open = doors.filter((href) => !/new/.test(href))
  const pages: Seen[] = []
  for (const href of open) pages.push(await besi.open(href))
  const own = pages.find(({ words }) => words.includes('fence is worth'))!
  const aboutHila = pages.find(({ words }) => words.includes('Relief for'))!
  expect(own.words).toMatch(/Carried: 4 for, 1 against/)
  expect(own.words).toMatch(/more than half.*Too few were there/)
  expect(own.words).toContain('What a day’s work or produce is worth')
  expect((await besi.send(own, {}, actionOf(own))).status).toBe(200)
  expect((await besi.open(own.path)).words).not.toContain('Waits for the name')

  // What is about one person is counted for others, and neither told nor linked; the closed words are for officers.
  expect(aboutHila.words).toContain('Hila, for hail.')
  expect((await hila.open(aboutHila.path)).words).not.toContain('hail')
  const seen = await isko.open(aboutHila.path)
  expect(seen.words).not.toMatch(/hail|A relief/)
  expect(seen.words).toContain('One act is about one person and not told here')
  expect((await fanta.open(aboutHila.path)).html.querySelector('a[href^="/money/names/relief/"]')).not.toBeNull()
  expect((await isko.open('/paper/lines/decisions')).words).not.toContain('hail')

  // The number is chosen from the list, and the act leads back to its decision.
  const chosen = await fanta.open('/money/price?as=work')
  expect(chosen.html.querySelector(`a[href="${own.path}"]`)!.text).toBe('Min. 7/2')
  // A fine that the meeting decided, and an act that an older program knew by another name, keep the page whole.
  const fine = {
    personId: relief.personId,
    rule: 'rule 9',
    fact: 'valve open',
    hearing: 'forgot',
    heardOn: '2026-11-21',
  }
  await fanta.fill('/money/fine', {
    ...fine,
    amount: '25',
    lapseOn: '2026-12-20',
    reason: 'the meeting said so',
    minute: '7/3',
  })
  await valley.db.transaction().execute(async (trx) => {
    const pen = { trx, writtenBy: relief.personId, writtenAt: '2026-11-25T11:00:00.000Z' }
    await appendEntry(pen, { kind: 'act-of-old' }, restingOn('7/3'))
  })
  const bearing = await fanta.open(aboutHila.path)
  expect(bearing.words).toMatch(/A debt let off.*A fine.*Another act/)

  const options = (await fanta.open('/money/price/new')).html.querySelectorAll('#minute-known option')
  expect(options.map((option) => option.getAttribute('value'))).toEqual(['7/3', 'min. 7/2', 'minute 7'])
})
