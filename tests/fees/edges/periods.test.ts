import { beforeAll, describe, expect, it } from 'vitest'
import { appendEntry } from '../../../server/book/entries.ts'
import { approve } from '../../../server/book/names/approvals.ts'
import { recordCount } from '../../../server/fees/cash/count-store.ts'
import { postCharges } from '../../../server/fees/charge/store.ts'
import { monthToClose } from '../../../server/fees/closing/month-state.ts'
import { closePeriod } from '../../../server/fees/closing/store.ts'
import { recordStatement } from '../../../server/fees/money-statement/store.ts'
import { writeHeldFee } from '../../../server/fees/other-money/store.ts'
import { recordPayment } from '../../../server/fees/receipt/store.ts'
import { type PeriodBooks, periodBooks } from '../../../server/fees/reconcile/books.ts'
import { payVoucher, writeVoucher } from '../../../server/fees/voucher/store.ts'
import { currentGroup } from '../../../server/people/group/store.ts'
import type { Visitor } from '../../support/visitor.ts'
import { type MoneyBook, moneyBook, told } from '../book.ts'
import { type TurnBook, turnBook } from '../turn-book.ts'

const [BEFORE, FIRST, LAST, AFTER] = ['2026-05-31', '2026-06-01', '2026-06-30', '2026-07-01'] as const
const DAYS = [BEFORE, FIRST, LAST, AFTER]
const NOW = '2026-07-04'
const JUNE = `/money/agree?period=month&on=${LAST}`

const paid = ({ as, ids }: MoneyBook, onDate: string, amountMinor = 1000, column: 'cash' | 'bank' = 'cash') =>
  as('Tomo', (pen) => recordPayment(pen, { personId: ids.Bela, amountMinor, column, onDate }))

const agreedTo = ({ as }: MoneyBook, path: string) => as('Ada', (pen) => approve(pen, path.split('/').at(-1)!))

async function inJuly<Book extends MoneyBook>(book: Book): Promise<{ book: Book; tomo: Visitor }> {
  book.setNow(`${NOW}T05:00:00Z`)
  return { book, tomo: await book.signedIn('Tomo') }
}

describe('June, of what stands on the day before it, on its first, on its last and on the day after it', () => {
  let book: TurnBook
  let tomo: Visitor
  let books: PeriodBooks
  let words: string

  beforeAll(async () => {
    ;({ book, tomo } = await inJuly(await turnBook()))
    const parts = { perM3: '50', perNoShow: '12.50', perShare: '20', perShareEvery: 'month' }
    const tariff = await tomo.fill('/money/price/new', { fromOn: '2026-05-01', ...parts })
    await agreedTo(book, tariff.path)
    const struck: string[] = []
    const moved: [string, string][] = []
    for (const on of DAYS) {
      await paid(book, on)
      await book.as('Tomo', (pen) => recordCount(pen, { countedOn: on, countedMinor: 0, secondId: book.ids.Ines }))
      struck.push(await book.deliver({ onDate: on }))
      moved.push([on, await book.deliver({ onDate: on, volumeM3: 2 })])
      await book.as('Tomo', (pen) => postCharges(pen, { toOn: on, onDate: on }))
    }
    for (const id of struck) await book.strike(id, 'written twice')
    for (const [onDate, correctsId] of moved) {
      const toChidi = { onDate, volumeM3: 2, plotId: book.plotOf.Chidi }
      await book.deliver(toChidi, { correctsId, reason: 'the other plot' })
    }
    for (const on of DAYS) {
      await book.turn(`turn ${on}`, { onDate: on })
      await book.say(`turn ${on}`, 'no-show')
      await book.heard(`turn ${on}`)
    }
    books = await periodBooks(book.db, { from: FIRST, to: LAST, today: NOW })
    words = told(await tomo.open(JUNE))
  })

  it('has the receipts and the counts of both its end days and no others', () => {
    expect([books.receipts.count, books.counts?.map(({ countedOn }) => countedOn)]).toEqual([2, [FIRST, LAST]])
    // The numbers of May and July are known, so none is missing between them.
    expect(books.findings.filter(({ difference }) => difference.code.startsWith('receipt'))).toEqual([])
  })

  it.each([
    '2 turns that were not used wait to be charged: KES 25.00.',
    '2 deliveries were charged and then struck out: KES 400.00 to give back.',
    '2 deliveries are charged to one member and belong, as corrected, to another: KES 200.00.',
    // Of two plots, on the first of June alone.
    '2 charges by month, season or share wait to be charged: KES 40.00.',
  ])('says: %s', (sentence) => {
    expect(words).toContain(sentence)
  })
})

describe('a balance of the bank', () => {
  it.each(DAYS.map((on) => [on, on === FIRST || on === LAST] as const))(
    'of %s belongs to June: %s',
    async (on, isIn) => {
      const book = await moneyBook()
      await book.as('Tomo', (pen) => recordStatement(pen, { column: 'bank', toOn: on, closingMinor: 100, lines: [] }))
      const { statements } = await periodBooks(book.db, { from: FIRST, to: LAST, today: NOW })
      expect(statements).toHaveLength(isIn ? 1 : 0)
    },
  )

  it('does not have yet what the book wrote on its last three days, and lacks what is older', async () => {
    const stated = async (onTheirWay: string, closingMinor: number) => {
      const book = await moneyBook()
      await paid(book, '2026-06-26', 500, 'bank')
      await paid(book, onTheirWay, 2000, 'bank')
      const fee = { column: 'bank', amountMinor: 100, onDate: '2026-06-29', words: 'the bank' } as const
      await book.as('Tomo', (pen) => writeHeldFee(pen, fee))
      const lines = [
        { on: '2026-06-26', amountMinor: 500, words: 'Bela' },
        { on: '2026-06-29', amountMinor: -100, words: 'fee' },
      ]
      await book.as('Tomo', (pen) => recordStatement(pen, { column: 'bank', toOn: LAST, closingMinor, lines }))
      const { findings } = await periodBooks(book.db, { from: FIRST, to: LAST, today: NOW })
      return findings.map(({ difference }) => difference.code)
    }
    expect([await stated('2026-06-28', 400), await stated('2026-06-27', 400)]).toEqual([
      [],
      ['statement-less-than-book'],
    ])
  })
})

describe('a receipt that is taken back in July', () => {
  it.each([LAST, AFTER])('of %s leaves nothing that does not agree', async (on) => {
    const { book, tomo } = await inJuly(await moneyBook())
    await paid(book, on)
    await tomo.fill('/money/receipts/1/mend', { original: 'back', reason: 'the coin was not good' })
    const { findings } = await periodBooks(book.db, { from: AFTER, to: '2026-07-31', today: NOW })
    expect(findings).toEqual([])
  })
})

describe('the month before', () => {
  it.each([
    [[BEFORE, AFTER], FIRST, false],
    [[FIRST], FIRST, true],
    [[LAST], LAST, true],
    [[LAST], AFTER, false],
  ])('with money of %j in a season from %s on is to be closed: %s', async (days, seasonStartOn, isOpen) => {
    const book = await moneyBook()
    for (const on of days) await paid(book, on)
    const group = { ...(await currentGroup(book.db))!, seasonStartOn }
    expect((await monthToClose(book.db, group, NOW)) !== null).toBe(isOpen)
  })
})

it.each([
  [LAST, false],
  [AFTER, true],
])('on %s the page of June has a door to July: %s', async (today, isThere) => {
  const book = await moneyBook()
  book.setNow(`${today}T05:00:00Z`)
  const page = await (await book.signedIn('Tomo')).open(JUNE)
  expect(page.html.querySelector(`a[href*="on=${AFTER}"]`) !== null).toBe(isThere)
})

describe('the report of the season', () => {
  let report: string
  let aloud: string
  beforeAll(async () => {
    const { book, tomo } = await inJuly(await turnBook())
    const { path } = await tomo.fill('/money/price/new', { fromOn: FIRST, perM3: '50' })
    await agreedTo(book, path)
    for (const on of [BEFORE, FIRST]) {
      await paid(book, on, on === FIRST ? 2000 : 1000)
      await book.as('Tomo', (pen) => recordCount(pen, { countedOn: on, countedMinor: 0, secondId: book.ids.Ines }))
      const voucher = { payee: 'a shop', purpose: 'gland', category: 'repairs', invoice: null, column: 'cash' } as const
      const id = await book.as('Tomo', (pen) => writeVoucher(pen, { ...voucher, amountMinor: 500, stipend: null }))
      for (const name of ['Ada', 'Ines'] as const) await book.as(name, (pen) => approve(pen, id))
      await book.as('Tomo', (pen) => payVoucher(pen, { id, onDate: on, words: 'paid' }))
      const { pumpId } = await book.db.selectFrom('outlet').select('pumpId').executeTakeFirstOrThrow()
      const fault = { pumpId: pumpId as never, foundOn: '2026-05-30', what: `belt of ${on}`, stopsPump: 1 } as const
      const faultId = await book.as('Dela', (pen) => appendEntry(pen, { kind: 'fault' }, { fault: [fault] }))
      const fix = { faultId, fixedOn: on, cause: 'worn', daysLost: 1 }
      await book.as('Dela', (pen) => appendEntry(pen, { kind: 'fault-fix' }, { faultFix: [fix] }))
    }
    await tomo.fill('/money/receipts/2/mend', { original: 'back', reason: 'not good' })
    await paid(book, FIRST, 700)
    await book.deliver({ onDate: FIRST, volumeM3: 1 })
    for (const to of [BEFORE, FIRST]) {
      const closed = await book.as('Tomo', (pen) => closePeriod(pen, { from: '2026-05-01', to } as PeriodBooks))
      await book.as('Ines', (pen) => approve(pen, closed))
    }
    report = told(await tomo.open('/money/report'))
    aloud = (await (await book.signedIn('Bela')).open(`/money/members/${book.ids.Bela}?as=aloud`)).words
  })

  it('begins with what was paid, counted, closed and mended on its first day', () => {
    expect(report).toContain('One voucher was paid, KES 5.00 in all: repairs KES 5.00.')
    expect(report).toContain('The cash was counted once')
    expect(report).toContain('One period was closed with two names.')
    expect(report).toContain('belt of 2026-06-01')
    expect(report).not.toContain('belt of 2026-05-31')
  })

  it('tells of one cubic metre that waits', () => {
    expect(report).toContain('1 more wait to be charged')
  })

  it('of a member is what was paid from its first day on and not taken back', () => {
    expect(aloud).toMatch(/paid[^.]* 7\b/)
  })
})
