import { parse } from 'node-html-parser'
import {
  addAbstraction,
  type NewAbstraction,
  strikeAbstraction,
  TOLD_AS_VOLUME,
} from '../../server/abstractions/draw/store.ts'
import { appendEntry, type Pen } from '../../server/book/entries.ts'
import { approve } from '../../server/book/names/approvals.ts'
import { setTariff } from '../../server/fees/tariff/store.ts'
import { addPlot } from '../../server/people/plot/store.ts'
import { begunBook, OWN_GROUP, type TestBook } from '../support/book.ts'
import type { Seen, Visitor } from '../support/visitor.ts'

export const TODAY = '2026-06-04'
const PASSWORD = 'another long word'

/** The people of the test group; Ada of the committee started the book. */
const PEOPLE = [
  { number: '2', name: 'Tomo', roles: ['treasurer', 'member'], signInName: 'tomo', phone: '' },
  { number: '3', name: 'Ines', roles: ['auditor'], signInName: 'ines', phone: '' },
  { number: '4', name: 'Bela', roles: ['member'], signInName: 'bela', phone: '+254 700 000 004' },
  { number: '5', name: 'Chidi', roles: ['member'], signInName: 'chidi', phone: '' },
  { number: '6', name: 'Dela', roles: ['attendant'], signInName: 'dela', phone: '' },
] as const

type Name = 'Ada' | (typeof PEOPLE)[number]['name']

export interface MoneyBook extends TestBook {
  ada: Visitor
  ids: Record<Name, string>
  weirId: string
  plotOf: Record<'Bela' | 'Chidi', string>
  signedIn(name: Exclude<Name, 'Ada'>): Promise<Visitor>
  /** Writes straight through the stores, in the name of one of the people. */
  as<T>(name: Name, work: (pen: Pen) => Promise<T>): Promise<T>
  /** A delivery to Bela's plot, unless said otherwise. */
  deliver(change?: Partial<NewAbstraction>, corrects?: { correctsId: string; reason: string }): Promise<string>
  strike(correctsId: string, reason: string): Promise<string>
  /** A tariff set by Tomo with Ada's name under it. */
  agreedTariff(fromOn: string, perM3Minor: number, drinkingFree?: boolean): Promise<string>
}

/** The book of a group with all its people, in a currency. */
export async function moneyBook(currency = 'KES'): Promise<MoneyBook> {
  const { ids, ...book } = await begunBook(`money in ${currency}`, `${TODAY}T05:00:00Z`, async ({ db, ada }) => {
    if (currency !== 'KES') await ada.fill('/works/group', { currency })
    for (const { roles, ...person } of PEOPLE) {
      await ada.fill('/people/new', { ...person, roles: [...roles], password: PASSWORD })
    }
    const rows = await db.selectFrom('person').select(['entryId', 'name']).execute()
    return Object.fromEntries(rows.map((row) => [row.name, row.entryId])) as Record<Name, string>
  })
  const { db } = book
  const as: MoneyBook['as'] = (name, work) =>
    db
      .transaction()
      .execute((trx) => work({ trx, writtenBy: ids[name], writtenAt: new Date(`${TODAY}T05:00:00Z`).toISOString() }))
  const weirId = await as('Ada', (pen) =>
    appendEntry(pen, { kind: 'weir' }, { weir: [{ number: 1, name: 'Upper', distanceM: 0 }] }),
  )
  const plot = (number: number, holderId: string) =>
    as('Ada', (pen) => addPlot(pen, { ...PLOT, number, name: `Plot ${number}`, holderIds: [holderId] }))
  const plotOf = { Bela: await plot(1, ids.Bela), Chidi: await plot(2, ids.Chidi) }
  const drawn = { ...DRAW, weirId, plotId: plotOf.Bela }
  return {
    ...book,
    ids,
    weirId,
    plotOf,
    as,
    signedIn: async (name) => {
      const visitor = book.visitor()
      await visitor.fill('/sign-in', { signInName: name.toLowerCase(), password: PASSWORD })
      return visitor
    },
    deliver: (change = {}, corrects) => as('Dela', (pen) => addAbstraction(pen, { ...drawn, ...change }, corrects)),
    strike: (correctsId, reason) => as('Dela', (pen) => strikeAbstraction(pen, { correctsId, reason })),
    agreedTariff: async (fromOn, perM3Minor, drinkingFree = true) => {
      const id = await as('Tomo', (pen) => setTariff(pen, { fromOn, perM3Minor, drinkingFree }))
      await as('Ada', (pen) => approve(pen, id))
      return id
    },
  }
}

/** The same book, in which Bela owes 200 for 4 m3 at 50; and Tomo, who keeps the money. */
export async function owingBook(): Promise<{ book: MoneyBook; tomo: Visitor }> {
  const book = await moneyBook()
  await book.agreedTariff(OWN_GROUP.seasonStart, 5000)
  await book.deliver()
  const tomo = await book.signedIn('Tomo')
  await tomo.fill('/money/charges', {}, { action: '/money/charges' })
  return { book, tomo }
}

const PLOT = {
  areaM2: 400,
  soil: 'sandy_loam',
  method: 'drip',
  shares: 1,
  outletIds: [],
  fromOn: OWN_GROUP.seasonStart,
}

const DRAW = {
  ...TOLD_AS_VOLUME,
  onDate: '2026-06-02',
  use: 'irrigation',
  volumeM3: 4,
  uncertaintyM3: 0.2,
  grade: 'measured',
} as const

/** The words of the page with a space between cells, and plain spaces in amounts. */
export function told(page: Seen): string {
  const html = parse(page.text.replace(/<\/(td|th|dt|dd|caption|h1|h2|p)>/g, ' $&'))
  return (html.querySelector('main') ?? html).textContent.replace(/[\s\u00a0]+/g, ' ').trim()
}
