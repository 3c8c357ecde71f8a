import { expect, it } from 'vitest'
import { cashInBook } from '../../../server/fees/ledger/cash-store.ts'
import { listPumps } from '../../../server/works/pump/store.ts'
import { startedBook } from '../../support/book.ts'
import { openValley, VALLEY_TODAY } from '../../support/valley.ts'
import { optionValue } from '../../support/visitor.ts'

/** How many the line with these words tells of; none where there is no such line. */
function counted(text: string, words: string): number {
  const line = text.split('\n').find((one) => one.includes(words))
  if (line === undefined) return 0
  return /^One\b/.test(line.trim()) ? 1 : Number.parseInt(line, 10)
}

it('keys, cash and meters go from hand to hand under two marks, the cash beside what the book has', async () => {
  const valley = await openValley()
  const [fanta, goro] = [await valley.signIn('fanta'), await valley.signIn('goro')]
  const [hila, isko] = [await valley.signIn('hila'), await valley.signIn('isko')]
  const before = (await fanta.open('/people/handovers/new')).html.querySelector('#openMatters')!.text
  const voucher = { payee: 'a smith', purpose: 'gland', category: 'repairs', amount: '80', column: 'cash' }
  await fanta.fill('/money/vouchers/new', voucher)
  await (await valley.signIn('amaru')).fill('/people/decisions/new', {
    ...{ number: '12/1', metOn: '2026-11-20', words: 'A gland.', body: 'meeting', officersWords: 'for pump 1' },
  })
  const form = await fanta.open('/people/handovers/new')
  // What was last read stands in the form already, of every pump, and all that is open.
  const meters = form.html.querySelector('#meters')!.getAttribute('value')!
  const pumps = await listPumps(valley.db, VALLEY_TODAY)
  expect(meters.split('; ').map((one) => one.match(/^pump (\d+): [\d.,]+ m³ on \d+ \w+ 2026$/)?.[1])).toEqual(
    pumps.map(({ number }) => String(number)),
  )
  const open = form.html.querySelector('#openMatters')!.text
  expect(counted(open, 'written and not paid')).toBe(counted(before, 'written and not paid') + 1)
  expect(counted(open, 'for a second name')).toBe(counted(before, 'for a second name') + 1)
  const [hilaId, goroId] = ['Hila', 'Goro'].map((name) => optionValue(form, 'takerId', name))
  const books = await cashInBook(valley.db)
  const said = {
    what: 'cash box',
    keys: '2 to the box',
    cash: String(books - 180),
    openMatters: 'receipt 309 is missing',
  }
  const others = await fanta.send(form, { ...said, giverId: goroId!, takerId: hilaId! })
  expect([others.status, others.words]).toEqual([422, expect.stringContaining('One of the two must be you')])
  const page = await fanta.send(form, { ...said, takerId: hilaId! })
  expect(page.words).toContain('Waits for the mark of the other one')
  expect(page.words).toMatch(/XOF 180 short/)
  expect((await isko.open(page.path)).status).toBe(403)
  // Neither a third officer nor the writer gives the other's mark; Hila, who takes it, does.
  for (const visitor of [fanta, goro]) {
    expect((await visitor.open(page.path)).html.querySelector('form[action^="/book/names/"]')).toBeNull()
  }
  const own = await hila.open(page.path)
  const approval = own.html.querySelector('form[action^="/book/names/"]')!.getAttribute('action')!
  await hila.send(own, {}, approval)
  expect((await goro.open(page.path)).words).toContain('Both have signed')
})

it('names nothing as open where nothing is', async () => {
  const { ada } = await startedBook()
  const form = await ada.open('/people/handovers/new')
  expect(form.html.querySelector('#openMatters')!.text.trim(), form.words).toBe('')
})

it('a term has its last day, and the first page of the committee says when it ends, until it is renewed', async () => {
  const valley = await openValley()
  const amaru = await valley.signIn('amaru')
  const form = await amaru.open('/people/settle/office-term')
  const personId = optionValue(form, 'personId', 'Fanta')
  const term = { personId, office: 'treasurer', minute: '11/4' }
  const wrong = await amaru.send(form, { ...term, office: 'attendant', untilOn: '2026-12-10' })
  expect([wrong.status, wrong.words]).toEqual([422, expect.stringContaining('does not hold that office')])
  await amaru.fill('/people/settle/office-term', { ...term, untilOn: '2026-12-26' })
  expect((await amaru.open('/')).words).not.toContain('The term of Fanta')
  await amaru.fill('/people/settle/office-term', { ...term, untilOn: '2026-12-20' })
  expect((await amaru.open('/')).words).toMatch(/The term of Fanta Brisk \(treasurer\) ends on 20 Dec 2026/)
  await amaru.fill('/people/settle/office-term', { ...term, untilOn: VALLEY_TODAY.replace('2026', '2027') })
  expect((await amaru.open('/')).words).not.toContain('The term of Fanta')
  expect((await amaru.open('/people/decisions')).words).toMatch(/11\/4 ?3 acts name it/)
})
