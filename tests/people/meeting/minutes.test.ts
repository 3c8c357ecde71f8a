import { expect, it } from 'vitest'
import { openValley } from '../../support/valley.ts'
import { answersOf, optionValue } from '../../support/visitor.ts'

it('what is left to the stream and who pays as a tenant take the number of their decision, which tells of them', async () => {
  const valley = await openValley()
  const [amaru, fanta] = [await valley.signIn('amaru'), await valley.signIn('fanta')]
  const decided = { number: '9/1', metOn: '2026-11-20', words: 'The stream keeps two days.', body: 'meeting' }
  const list = await amaru.fill('/people/decisions/new', decided)

  const share = { restDays: ['6', '7'], permit: '', words: 'two days', fromOn: '2026-12-01', minute: '9/1' }
  expect((await amaru.fill('/water/stream/share', share)).status).toBe(200)
  const shut = await amaru.open('/water/settle/shut')
  const weirId = answersOf(shut, 'weirId').at(-1)!.value
  const mark = { weirId, shutBelowLevel: '1000', words: 'the lower people', fromOn: '2026-12-01', minute: '9/1' }
  expect((await amaru.send(shut, mark)).status).toBe(200)
  const asked = await fanta.open('/money/settle/pays-as')
  const payer = { personId: optionValue(asked, 'personId', 'Hila'), payerClass: 'tenant', fromOn: '2026-12-01' }
  expect((await fanta.send(asked, { ...payer, minute: '9/1' })).status).toBe(200)

  const doors = list.html.querySelectorAll('a[href^="/people/lines/decision/"]').map((a) => a.getAttribute('href')!)
  const pages = await Promise.all(doors.filter((href) => !/new/.test(href)).map((href) => amaru.open(href)))
  const told = pages.find(({ words }) => words.includes('The stream keeps two days'))!
  expect(told.words).toContain('A share left to the stream')
  expect(told.words).toContain('A mark below which a weir stays shut')
  expect(told.words).toContain('What somebody pays as')
})
