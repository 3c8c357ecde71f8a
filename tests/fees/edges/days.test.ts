import { beforeAll, describe, expect, it } from 'vitest'
import { approve } from '../../../server/book/names/approvals.ts'
import { reckonCharges } from '../../../server/fees/charge/reckoning.ts'
import { postCharges } from '../../../server/fees/charge/store.ts'
import { closePeriod } from '../../../server/fees/closing/store.ts'
import type { PeriodBooks } from '../../../server/fees/reconcile/books.ts'
import { setTariff } from '../../../server/fees/tariff/store.ts'
import type { Fields, Visitor } from '../../support/visitor.ts'
import { TODAY, told } from '../book.ts'
import { type TurnBook, turnBook } from '../turn-book.ts'

const NO_SHOW = { fromOn: '2026-06-01', perM3: '50', perNoShow: '12.50' }
const HEARD = { hearing: 'was at the clinic', appealUntil: '2026-06-18' }
const FINE = { rule: 'rule 9', fact: 'valve 3 open', hearing: 'forgot it', amount: '25', reason: 'by the meeting' }

let book: TurnBook
let tomo: Visitor
let bela: Visitor

/** Charged up to 2 June, closed up to 31 May, a turn of 2 June that was left without word; today is 4 June. */
beforeAll(async () => {
  book = await turnBook()
  tomo = await book.signedIn('Tomo')
  bela = await book.signedIn('Bela')
  const tariff = await tomo.fill('/money/price/new', NO_SHOW)
  await book.ada.fill(tariff.path, {}, { action: tariff.path })
  await book.deliver({ onDate: '2026-06-02' })
  await tomo.fill('/money/charges', {}, { action: '/money/charges' })
  for (const id of ['heard-early', 'heard-late', 'open', 'over']) {
    await book.turn(id)
    await book.say(id, 'no-show')
  }
  const closing = await book.as('Tomo', (pen) =>
    closePeriod(pen, { from: '2026-05-01', to: '2026-05-31' } as PeriodBooks),
  )
  await book.as('Ines', (pen) => approve(pen, closing))
})

/** The form, the line for its day, what else is answered, the last day refused with its words, and the first that is taken. */
const BEGINS: [string, string, Fields, [string, string], string][] = [
  ['/money/price/new', 'fromOn', { perM3: '60' }, ['2026-06-02', 'up to 2 Jun 2026 are already charged'], '2026-06-03'],
  [
    '/money/settle/pays-as',
    'fromOn',
    { personId: 'Chidi', payerClass: 'tenant' },
    ['2026-06-02', 'up to 2 Jun 2026 are already charged'],
    '2026-06-03',
  ],
  [
    '/money/pay',
    'paidOn',
    { payerId: 'Chidi', amount: '7', column: 'cash' },
    ['2026-05-31', 'closed up to 31 May 2026'],
    '2026-06-01',
  ],
  [
    '/money/fine?as=missed-turn&turn=heard-early',
    'heardOn',
    HEARD,
    ['2026-06-01', 'A hearing is after the turn'],
    '2026-06-02',
  ],
]

it.each(BEGINS)(
  '%s with %s, %j: the day after the last that is refused is taken',
  async (path, field, also, no, yes) => {
    const ids = Object.entries(also).map(([name, value]) => [name, book.ids[value as 'Chidi'] ?? value])
    const fields = Object.fromEntries(ids)
    const refused = await tomo.fill(path, { ...fields, [field]: no[0] })
    expect(refused.html.querySelector(`#${field}-error`)?.text).toContain(no[1])
    const taken = await tomo.send(refused, { [field]: yes })
    expect([taken.status, taken.html.querySelector(`#${field}-error`)]).toEqual([200, null])
  },
)

it('a turn left without word is heard on this day, and not on the next', async () => {
  const path = '/money/fine?as=missed-turn&turn=heard-late'
  const refused = await tomo.fill(path, { ...HEARD, heardOn: '2026-06-05' })
  expect(refused.html.querySelector('#heardOn-error')?.text).toContain('A hearing is after the turn')
  expect((await tomo.send(refused, { heardOn: TODAY, appealUntil: TODAY })).path).toMatch(
    /^\/money\/names\/missed-turn/,
  )
})

it('costs nothing on the last day on which it can be appealed, and is charged on the next', async () => {
  const path = `/money/names/missed-turn/${await book.heard('open', TODAY)}`
  await book.heard('over', '2026-06-03')
  const hasForm = async () => (await bela.open(path)).html.querySelector('form[action$="/appeal"]') !== null
  expect(await hasForm()).toBe(true)
  // One of 12.50 for the turn whose days are over, and not two.
  expect(told(await tomo.open('/money/charges'))).toMatch(/4 Bela 12\.50/)
})

describe('a price that was written before its first day was charged', () => {
  it.each([
    ['2026-06-02', false],
    ['2026-06-03', true],
  ])('from %s on takes its second name: %s', async (fromOn, isTaken) => {
    const id = await book.as('Tomo', (pen) => setTariff(pen, { fromOn, perM3Minor: 5500, drinkingFree: true }))
    const page = await book.ada.open(`/money/names/price/${id}`)
    expect(page.html.querySelector(`form[action="/money/names/price/${id}"]`) !== null).toBe(isTaken)
  })
})

it('what was charged for a turn of the last day asked about is given back with that day, and not with the day before', async () => {
  await book.as('Tomo', (pen) => postCharges(pen, { toOn: TODAY, onDate: TODAY }))
  await book.say('over', 'excused', 'her child was ill')
  expect(told(await tomo.open('/money/charges'))).toMatch(/4 Bela −12\.50.*her child was ill/)
  const turnsBack = async (toOn: string) => (await reckonCharges(book.db, { toOn })).due.filter(({ missed }) => missed)
  expect([await turnsBack('2026-06-01'), await turnsBack('2026-06-02')].map(({ length }) => length)).toEqual([0, 1])
})

describe('a fine that lapses on 20 June', () => {
  it.each([
    ['2026-06-19', true, false],
    ['2026-06-20', false, true],
  ])('on %s can be appealed: %s, and taken back: %s', async (on, appealed, lapses) => {
    const own = await turnBook()
    const ofTomo = await own.signedIn('Tomo')
    const { path } = await ofTomo.fill('/money/fine', {
      ...{ ...FINE, heardOn: '2026-06-03', lapseOn: '2026-06-20' },
      personId: own.ids.Bela,
    })
    await own.ada.fill(path, {}, { action: path })
    own.setNow(`${on}T05:00:00Z`)
    const [later, hers] = [await own.signedIn('Tomo'), await own.signedIn('Bela')]
    const has = async (who: Visitor, to: string) =>
      (await who.open(path)).html.querySelector(`form[action="${path}/${to}"]`) !== null
    expect([await has(hers, 'appeal'), await has(later, 'back')]).toEqual([appealed, lapses])
    if (lapses) expect(told(await later.fill(path, {}, { action: `${path}/back` }))).toContain('lapsed and taken back')
  })
})
