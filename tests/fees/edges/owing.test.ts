import { beforeAll, beforeEach, describe, expect, it } from 'vitest'
import { approve } from '../../../server/book/names/approvals.ts'
import { postCharges } from '../../../server/fees/charge/store.ts'
import { dueFees } from '../../../server/fees/fixed-fee/store.ts'
import { listTransfers } from '../../../server/fees/ledger/transfer-store.ts'
import { setArrearsRule, setOwner } from '../../../server/people/plot/owner-store.ts'
import { addPlot, setHolders } from '../../../server/people/plot/store.ts'
import type { Visitor } from '../../support/visitor.ts'
import { type MoneyBook, moneyBook, owingBook, TODAY, told } from '../book.ts'
import { turnBook } from '../turn-book.ts'

const PLOT = { areaM2: 400, soil: 'sandy_loam', method: 'drip', outletIds: [], fromOn: '2026-06-01' }
const ROW_OF_CHARGES = /\d (Bela|Chidi) −?[\d,]+\.\d\d/g

it('a turn that was charged to one and given back, and then to another, is given back to the other alone', async () => {
  const book = await turnBook()
  const tomo = await book.signedIn('Tomo')
  const tariff = await tomo.fill('/money/price/new', { fromOn: '2026-06-01', perM3: '50', perNoShow: '12.50' })
  await book.ada.fill(tariff.path, {}, { action: tariff.path })
  await book.turn('t1')
  await book.say('t1', 'no-show')
  await book.heard('t1')
  const waiting = async () => told(await tomo.open('/money/charges')).match(ROW_OF_CHARGES)
  const post = () => book.as('Tomo', (pen) => postCharges(pen, { toOn: TODAY, onDate: TODAY }))
  expect(await waiting()).toEqual(['4 Bela 12.50'])
  await post()
  await book.say('t1', 'excused', 'was ill')
  expect(await waiting()).toEqual(['4 Bela −12.50'])
  await post()
  await book.as('Ada', (pen) => setHolders(pen, book.plotOf.Bela as never, [book.ids.Chidi], '2026-06-01'))
  await book.say('t1', 'no-show')
  expect(await waiting()).toEqual(['5 Chidi 12.50'])
  await post()
  await book.say('t1', 'excused', 'was at the clinic')
  expect(await waiting()).toEqual(['5 Chidi −12.50'])
})

describe('of fees on a first of June with which the season begins', () => {
  let book: MoneyBook
  let tomo: Visitor

  /** Plots 1 and 2 are Bela’s and Chidi’s; Ines and Dela hold plot 3 by a quarter and three, Ada and Tomo plot 4 without parts. */
  beforeAll(async () => {
    book = await moneyBook()
    tomo = await book.signedIn('Tomo')
    const { Ada, Tomo, Ines, Dela } = book.ids
    const together = (number: number, holderIds: string[]) =>
      book.as('Ada', (pen) => addPlot(pen, { ...PLOT, number, name: `Plot ${number}`, shares: 2, holderIds }))
    const third = await together(3, [Ines, Dela])
    await book.as('Ada', (pen) => setHolders(pen, third as never, [Ines, Dela], '2026-06-01', [0.25, 0.75]))
    await together(4, [Ada, Tomo])
    const parts = { flat: '20', flatEvery: 'season', perShare: '15', perShareEvery: 'month' }
    const { path } = await tomo.fill('/money/price/new', { fromOn: '2026-05-01', perM3: '50', ...parts })
    await book.as('Ines', (pen) => approve(pen, path.split('/').at(-1)!))
  })

  it('each holder owes by the written part, the first alone where none was written, and each fee is of its own kind', async () => {
    const due = (await dueFees(book.db, { toOn: '2026-07-01' })).map(
      ({ payer, line, every }) => `${payer.name} ${line.amountMinor} ${line.on.slice(5)} ${every}`,
    )
    const flat = ['Ada', 'Bela', 'Chidi', 'Dela', 'Ines'].map((name) => `${name} 2000 06-01 season`)
    const byShare = ['Ada 3000', 'Bela 1500', 'Chidi 1500', 'Dela 2250', 'Ines 750'].flatMap((owed) => [
      `${owed} 06-01 month`,
      `${owed} 07-01 month`,
    ])
    expect(due.toSorted()).toEqual([...flat, ...byShare].toSorted())
  })

  it('the working tells the one by the season and the other by the month', async () => {
    await tomo.send(await tomo.open('/money/charges?as=fees'), {})
    const byPart = (await listTransfers(book.db)).filter(({ amountMinor }) => [2250, 750].includes(amountMinor))
    const workings = await Promise.all(
      byPart.map(async ({ id }) => told(await tomo.open(`/money/working/charge/${id}`))),
    )
    expect(workings).toHaveLength(2)
    for (const words of workings) {
      expect(words).toContain('15.00 for a share every month')
      expect(words).toMatch(/6 shares of all who pay this price 90\.00/)
    }
  })
})

describe('of the 200 that Bela owes', () => {
  let book: MoneyBook
  let tomo: Visitor

  beforeEach(async () => {
    ;({ book, tomo } = await owingBook())
  })

  it('a receipt that was taken back is not paid towards what was agreed, and one from before never was', async () => {
    const pay = (paidOn: string, amount: string) =>
      tomo.fill('/money/pay', { payerId: book.ids.Bela, paidOn, amount, column: 'cash' })
    const before = await pay('2026-06-01', '7')
    const wrong = await pay('2026-06-02', '30')
    await pay('2026-06-02', '40')
    const agreed = { amount: '50', every: 'week', firstOn: '2026-06-02', times: '4' }
    await tomo.fill(`/money/members/${book.ids.Bela}/instalments`, agreed)
    const paid = async () => /([\d.]+) paid since that day/.exec(told(await tomo.open('/money/members')))?.[1]
    expect(await paid()).toBe('70.00')
    for (const { path } of [wrong, before])
      await tomo.fill(`${path}/mend`, { original: 'back', reason: 'written twice' })
    expect(await paid()).toBe('40.00')
  })

  it('one of two owners who answer for them is charged, and nobody else', async () => {
    const owners = ['Chidi', 'Dela'] as const
    await book.as('Ada', (pen) => setArrearsRule(pen, { fromOn: '2026-06-01', follows: 'plot' }, '7'))
    const second = await book.as('Ada', (pen) =>
      addPlot(pen, { ...PLOT, number: 3, name: 'Third', shares: 1, holderIds: [book.ids.Bela] }),
    )
    for (const [at, plotId] of [book.plotOf.Bela, second].entries()) {
      const ownerId = book.ids[owners[at]!] as never
      await book.as('Ada', (pen) => setOwner(pen, { plotId: plotId as never, ownerId, fromOn: '2026-06-01' }))
    }
    const ask = (name: keyof MoneyBook['ids']) => {
      const fields = { ownerId: book.ids[name], amount: '20', words: 'rule 12' }
      return tomo.fill(`/money/members/${book.ids.Bela}/to-owner`, fields)
    }
    const refused = await ask('Ines')
    expect([refused.status, refused.html.querySelector('#ownerId-error') !== null]).toEqual([422, true])
    for (const name of owners) {
      const move = await ask(name)
      expect([move.status, move.words]).toEqual([200, expect.stringContaining(name)])
    }
  })
})
