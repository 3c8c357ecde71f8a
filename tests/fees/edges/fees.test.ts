import { beforeEach, expect, it } from 'vitest'
import { dueFees } from '../../../server/fees/fixed-fee/store.ts'
import { listTransfers } from '../../../server/fees/ledger/transfer-store.ts'
import { addPlot } from '../../../server/people/plot/store.ts'
import type { Visitor } from '../../support/visitor.ts'
import { type MoneyBook, moneyBook, told } from '../book.ts'

const FEES = '/money/charges?as=fees'
const SMALL = { areaM2: 200, soil: 'sandy_loam', method: 'drip', outletIds: [], fromOn: '2026-06-01' }

let book: MoneyBook
let tomo: Visitor
beforeEach(async () => {
  book = await moneyBook()
  tomo = await book.signedIn('Tomo')
})

async function agreed(parts: Record<string, string>) {
  const { path } = await tomo.fill('/money/price/new', { fromOn: '2026-05-01', perM3: '50', ...parts })
  await book.ada.fill(path, {}, { action: path })
}

it('fall due from the first day of the season on', async () => {
  await agreed({ flat: '20', flatEvery: 'season' })
  const due = async (toOn: string) => (await dueFees(book.db, { toOn })).map(({ payer }) => payer.name)
  expect([await due('2026-05-31'), await due('2026-06-01')]).toEqual([[], ['Bela', 'Chidi']])
})

it('are owed by the first of two who hold a plot and wrote no parts, and by nobody to whom no coin of them falls', async () => {
  await agreed({ flat: '20', flatEvery: 'season', perShare: '0.01', perShareEvery: 'season' })
  const { Ada, Tomo, Ines, Dela } = book.ids
  // Two whole shares and three halves are three and a half cents, so four: the two left over fall to two of the halves.
  for (const [at, holderIds] of [[Tomo], [Ines, Dela], [Ada]].entries()) {
    const plot = { ...SMALL, number: 3 + at, name: `Plot ${3 + at}`, shares: 0.5, holderIds }
    await book.as('Ada', (pen) => addPlot(pen, plot))
  }
  const due = (await dueFees(book.db, { toOn: '2026-06-04' })).map(({ payer, line }) => `${payer.name} ${line.kind}`)
  const flat = ['Ada', 'Bela', 'Chidi', 'Ines', 'Tomo'].map((name) => `${name} flat`)
  const byShare = ['Ada', 'Bela', 'Chidi', 'Tomo'].map((name) => `${name} per-share`)
  expect(due.toSorted()).toEqual([...flat, ...byShare].toSorted())
})

it('of a month are worked out beside those of that month and that part, by the price of who has no other', async () => {
  await agreed({ perShare: '15', perShareEvery: 'month', flat: '20', flatEvery: 'month', schoolPerM3: '5' })
  await tomo.fill('/money/settle/pays-as', { personId: book.ids.Chidi, payerClass: 'tenant', fromOn: '2026-06-01' })
  await tomo.send(await tomo.open(FEES), {})
  book.setNow('2026-07-03T05:00:00Z')
  tomo = await book.signedIn('Tomo')
  await tomo.send(await tomo.open(FEES), {})
  const fees = (await listTransfers(book.db)).filter(({ amountMinor, on }) => amountMinor === 1500 && on > '2026-07')
  expect(fees).toHaveLength(2)
  for (const { id } of fees) {
    const working = told(await tomo.open(`/money/working/charge/${id}`))
    expect(working).toContain('15.00 for a share every month')
    expect(working).toMatch(/2 shares of all who pay this price 30\.00/)
  }
})
