import type { FastifyInstance } from 'fastify'
import { beforeAll, describe, expect, it } from 'vitest'
import { writePromise } from '../../server/fees/arrears/promise-store.ts'
import { writeRelief } from '../../server/fees/arrears/relief-store.ts'
import { writeFine } from '../../server/fees/fine/store.ts'
import { startSession } from '../../server/people/session/store.ts'
import { routesOf } from '../support/addresses.ts'
import type { Visitor } from '../support/visitor.ts'
import { type MoneyBook, moneyBook, told } from './book.ts'

/** Sums of Chidi's that stand nowhere by chance, as pages write them and as a bare list of minor units does. */
const SUMS = {
  ...{ charge: '3,086.50', cash: '7.77', labour: '26.26', relief: '41.41', promise: '53.53' },
  ...{ fine: '61.61', opening: '71.71', paper: '81.81' },
}
const written = Object.values(SUMS).map((sum) => sum.replace('.', '\\.').replace(',', ',?'))
const MINOR = Object.values(SUMS).map((sum) => sum.replace(/[.,]/g, ''))
// Between letters the digits belong to an id or to the one-time key of a form, and say nothing.
const A_SUM = new RegExp(`(?<![\\w.])(${[...written, ...MINOR].join('|')})(?!\\w)`, 'g')

let book: MoneyBook
let tomo: Visitor
/** What stands in the place of an id: every entry of money, Chidi, a receipt's number, a page of paper, a day. */
let ids: string[]

beforeAll(async () => {
  book = await moneyBook()
  const { ada } = book
  const goma = { number: '7', name: 'Goma', signInName: 'goma', phone: '', password: 'one more long word' }
  await ada.fill('/people/new', { ...goma, roles: ['committee'] })
  tomo = await book.signedIn('Tomo')
  const { Chidi } = book.ids
  const tariff = { fromOn: '2026-06-01', perM3: '50', flat: '20.21', flatEvery: 'month' }
  const { path } = await tomo.fill('/money/price/new', tariff)
  await ada.fill(path, {}, { action: path })
  await book.deliver({ plotId: book.plotOf.Chidi, volumeM3: 61.73 })
  await tomo.fill('/money/charges', {}, { action: '/money/charges' })
  await tomo.fill('/money/charges?as=fees', {}, { action: '/money/charges?as=fees' })
  await tomo.fill('/money/pay', { payerId: Chidi, amount: SUMS.cash, column: 'cash' })
  await tomo.fill('/money/settle/work', { kind: 'labour', name: 'day', price: '13.13', minute: 'minute 7' })
  const rateId = (await book.db.selectFrom('kindRate').select('entryId').executeTakeFirstOrThrow()).entryId
  await tomo.fill('/money/pay?as=work', { payerId: Chidi, rateId, quantity: '2' })
  const paper = await tomo.fill('/paper/numbers?as=receipts', { name: 'Green', firstNumber: '301', lastNumber: '350' })
  const typed = { number: '301', paidOn: '2026-06-03', payerId: Chidi, amount: SUMS.paper, column: 'cash' }
  await tomo.fill(paper.path, typed)
  const accounts = await book.db.selectFrom('account').selectAll().where('personId', '=', Chidi).execute()
  const opening = { accountId: accounts[0]!.entryId, amount: SUMS.opening, onDate: '2026-06-01' }
  await tomo.fill('/money/settle/from-before', opening)
  const gomaId = (await book.db.selectFrom('person').selectAll().where('name', '=', 'Goma').execute())[0]!.entryId
  const relief = { personId: Chidi, amountMinor: 4141, minute: 'minute 3', words: 'by the meeting', askedId: gomaId }
  await book.as('Tomo', (pen) => writeRelief(pen, relief))
  const promise = { personId: Chidi, amountMinor: 5353, every: 'month', firstOn: '2026-07-01', times: 3 } as const
  await book.as('Tomo', (pen) => writePromise(pen, { ...promise, words: null }))
  const fine = { personId: Chidi, amountMinor: 6161, rule: 'rule 4', fact: 'a valve', hearing: 'heard' }
  const fineId = await book.as('Tomo', (pen) =>
    writeFine(pen, { ...fine, heardOn: '2026-06-02', lapseOn: '2026-12-01' }),
  )
  await ada.fill(`/money/names/fine/${fineId}`, {}, { action: `/money/names/fine/${fineId}` })
  const tables = ['transfer', 'relief', 'promise', 'fine', 'receiptBook', 'kindPayment', 'fixedFee'] as const
  const rows = await Promise.all(tables.map((table) => book.db.selectFrom(table).select('entryId').execute()))
  const draws = await book.db.selectFrom('abstraction').select('entryId').execute()
  const entries = [...rows.flat(), ...draws].map((row) => row.entryId)
  ids = [...new Set(entries), Chidi, book.plotOf.Chidi, '1', '2', '2026-06-02', 'receipts', 'transfer', 'transfer.csv']
})

/** Every address of the book with every id in the place of each of its ids. */
function addresses(app: FastifyInstance): string[] {
  const routes = routesOf(app.printRoutes({ commonPrefix: false })).filter(({ method }) => method === 'GET')
  return routes.flatMap(({ path }) => {
    if (path.includes('*')) return []
    return path.includes(':') ? ids.map((id) => path.replace(/:\w+/g, id)) : [path]
  })
}

async function leaksTo(name: string): Promise<string[]> {
  const leaks: string[] = []
  const persons = await book.db.selectFrom('person').select(['entryId', 'name']).where('name', '=', name).execute()
  const session = { personId: persons[0]!.entryId, at: new Date('2026-06-04T05:00:00Z'), isShared: false }
  const cookie = `commonweir_session=${await startSession(book.db, session)}`
  const app = await book.ready()
  for (const path of addresses(app)) {
    const { body, statusCode } = await app.inject({ url: path, headers: { cookie } })
    if (statusCode >= 400) continue
    const sums = new Set([...body.replace(/\u00a0/g, ' ').matchAll(A_SUM)].map(([sum]) => sum))
    leaks.push(...[...sums].map((sum) => `${path}: ${sum}`))
  }
  return leaks
}

describe('what a person has to pay, asked for by every address with every id', () => {
  it('is found by the treasurer, so that the search itself is known to find it', async () => {
    const found = (await leaksTo('Tomo')).join('\n')
    for (const sum of Object.values(SUMS)) expect(found).toContain(sum)
  }, 240_000)

  it.each(['Bela', 'Ada', 'Dela'] as const)(
    'is shown nowhere to %s',
    async (name) => {
      expect(await leaksTo(name)).toEqual([])
    },
    240_000,
  )

  it('is open to the officer who is asked for one relief, in that one matter', async () => {
    const { entryId } = await book.db.selectFrom('relief').select('entryId').executeTakeFirstOrThrow()
    expect((await leaksTo('Goma')).toSorted()).toEqual([`/money/names/relief/${entryId}: 41.41`])
  }, 240_000)

  it('is open to the person, in the own account', async () => {
    const chidi = await book.signedIn('Chidi')
    expect(told(await chidi.open(`/money/members/${book.ids.Chidi}`))).toContain('3,086.50')
  })
})
