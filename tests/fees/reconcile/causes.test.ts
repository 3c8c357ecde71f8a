import { describe, expect, it } from 'vitest'
import { moneyIndicators } from '../../../domain/fees/reconcile/indicators.ts'
import { matchStatement } from '../../../domain/fees/reconcile/match-statement.ts'
import { reconcile } from '../../../domain/fees/reconcile/reconcile.ts'
import type { ReconcileInput } from '../../../domain/fees/reconcile/types.ts'

const taken = (number: number, amountMinor: number, bookId = 'A') => ({
  bookId,
  number,
  amountMinor,
  column: 'cash' as const,
})
const entered = (number: number, inMinor: number, bookId = 'A') => ({
  id: `${bookId}${number}`,
  column: 'cash' as const,
  inMinor,
  outMinor: 0,
  receipt: { bookId, number },
})

/** Two receipt books with one number in common, two slips, and nothing that differs. */
const EVEN: ReconcileInput = {
  water: { pumpedM3: 60, unexplainedM3: 1, toleranceM3: 4 },
  slips: [
    { abstractionId: 's1', volumeM3: 40, uncertaintyM3: 2, dueMinor: 400, postedMinor: 400 },
    { abstractionId: 's2', volumeM3: 19, uncertaintyM3: 1, dueMinor: 190, postedMinor: 190 },
  ],
  arrears: { openingMinor: 0, chargesMinor: 590, finesMinor: 0, receiptsMinor: 70, reliefMinor: 0, closingMinor: 520 },
  receipts: [taken(7, 30), taken(7, 40, 'B')],
  receiptBooks: [
    { bookId: 'A', firstNumber: 7 },
    { bookId: 'B', firstNumber: 7 },
  ],
  cashBookOpeningMinor: {},
  cashBook: [entered(7, 30), entered(7, 40, 'B')],
  counted: { cashMinor: 70 },
}

const MORE_RECEIPTS = { receipts: [...EVEN.receipts, taken(8, 5)], cashBook: [...EVEN.cashBook, entered(8, 5)] }
const PAID = { voucherId: 'v1', number: 1, paidDays: 9, loggedDays: 8, anyDays: 9 }
const wallet = (inMinor: number) => ({ id: 'w', column: 'wallet' as const, inMinor, outMinor: 0 })

/** What differs, told with everything that the page needs: where to look, the figures, and what may differ. */
const DIFFERENCES: [Partial<ReconcileInput>, Record<string, unknown>][] = [
  [
    { water: { pumpedM3: 60, unexplainedM3: 5, toleranceM3: 4 } },
    {
      code: 'water-unexplained',
      volumeM3: 5,
      toleranceM3: 4,
      values: { pumpedM3: 60 },
      lookAt: ['missing-slips', 'tank-readings', 'night-hours', 'leaks'],
    },
  ],
  [
    { water: { pumpedM3: 60, unexplainedM3: -5, toleranceM3: 4 } },
    {
      code: 'more-water-recorded-than-pumped',
      volumeM3: -5,
      toleranceM3: 4,
      values: { pumpedM3: 60 },
      lookAt: ['dates-of-readings', 'tank-readings'],
    },
  ],
  [
    { slips: [EVEN.slips[0]!, { ...EVEN.slips[1]!, postedMinor: null }] },
    {
      code: 'delivery-without-charge',
      amountMinor: 190,
      volumeM3: 19,
      values: { abstractionId: 's2', dueMinor: 190 },
      lookAt: [],
    },
  ],
  [
    { slips: [EVEN.slips[0]!, { ...EVEN.slips[1]!, postedMinor: 200 }] },
    {
      code: 'charge-not-by-tariff',
      amountMinor: -10,
      volumeM3: 19,
      values: { abstractionId: 's2', dueMinor: 190, postedMinor: 200 },
      lookAt: ['older-tariff', 'hours-and-volume-mixed'],
    },
  ],
  [
    { arrears: { ...EVEN.arrears, closingMinor: 500 } },
    {
      code: 'arrears-do-not-close',
      amountMinor: -20,
      values: { expectedMinor: 520, closingMinor: 500 },
      lookAt: ['relief-without-minute', 'payment-on-another-member'],
    },
  ],
  [
    { receipts: [...EVEN.receipts, taken(7, 40, 'B')] },
    {
      code: 'receipt-number-twice',
      values: { bookId: 'B', number: 7, times: 2 },
      lookAt: ['second-receipt-book', 'number-copied-wrong'],
    },
  ],
  [
    { receipts: [{ ...taken(7, 30), posted: null }, EVEN.receipts[1]!] },
    {
      code: 'receipt-without-transfer',
      amountMinor: 30,
      values: { bookId: 'A', number: 7, receiptMinor: 30, postedMinor: 0 },
      lookAt: ['written-later'],
    },
  ],
  [
    { receipts: [{ ...taken(7, 30), posted: { accountId: 'm', amountMinor: 25 } }, EVEN.receipts[1]!] },
    {
      code: 'transfer-amount-not-receipt',
      amountMinor: 5,
      values: { bookId: 'A', number: 7, receiptMinor: 30, postedMinor: 25 },
      lookAt: ['number-copied-wrong'],
    },
  ],
  [
    {
      receipts: [
        { ...taken(7, 30), forAccountId: 'n', posted: { accountId: 'm', amountMinor: 30 } },
        EVEN.receipts[1]!,
      ],
    },
    {
      code: 'receipt-on-another-account',
      amountMinor: 30,
      values: { bookId: 'A', number: 7, receiptMinor: 30, postedMinor: 30 },
      lookAt: ['payment-on-another-member', 'two-people-of-one-name'],
    },
  ],
  [
    { cashBook: [EVEN.cashBook[0]!], counted: { cashMinor: 30 } },
    {
      code: 'receipt-not-in-cash-book',
      amountMinor: 40,
      values: { bookId: 'B', number: 7, receiptMinor: 40, bookMinor: 0 },
      lookAt: ['written-later'],
    },
  ],
  [
    { cashBook: [EVEN.cashBook[0]!, entered(7, 44, 'B')], counted: { cashMinor: 74 } },
    {
      code: 'cash-book-amount-not-receipt',
      amountMinor: -4,
      values: { bookId: 'B', number: 7, receiptMinor: 40, bookMinor: 44 },
      lookAt: ['number-copied-wrong'],
    },
  ],
  [
    { cashBook: [...EVEN.cashBook, entered(9, 6)], counted: { cashMinor: 76 } },
    {
      code: 'cash-book-line-without-receipt',
      amountMinor: 6,
      values: { lineId: 'A9' },
      lookAt: ['number-copied-wrong', 'second-receipt-book'],
    },
  ],
  [
    { cashBook: [...EVEN.cashBook, { id: 'x', column: 'cash', inMinor: 0, outMinor: 6 }], counted: { cashMinor: 64 } },
    { code: 'payment-without-voucher', amountMinor: -6, values: { lineId: 'x' }, lookAt: ['advance-without-voucher'] },
  ],
  [
    { stipends: [PAID] },
    { code: 'paid-days-not-logged-days', values: PAID, lookAt: ['log-typed-by-another', 'days-not-logged'] },
  ],
  [
    { counted: { cashMinor: 71 } },
    {
      code: 'counted-more-than-book',
      amountMinor: 1,
      values: { bookMinor: 70, countedMinor: 71 },
      lookAt: ['written-later'],
    },
  ],
  [
    { counted: { cashMinor: 69 } },
    {
      code: 'counted-less-than-book',
      amountMinor: -1,
      values: { bookMinor: 70, countedMinor: 69 },
      lookAt: ['advance-without-voucher', 'stipend-taken-early'],
    },
  ],
  [
    { counted: { cashMinor: 70, reserveMinor: 2 } },
    {
      code: 'reserve-more-than-book',
      amountMinor: 2,
      values: { bookMinor: 0, countedMinor: 2 },
      lookAt: ['reserve-move-not-written'],
    },
  ],
  [
    { counted: { cashMinor: 70, reserveMinor: 85 }, cashBookOpeningMinor: { reserve: 90 } },
    {
      code: 'reserve-less-than-book',
      amountMinor: -5,
      values: { bookMinor: 90, countedMinor: 85 },
      lookAt: ['reserve-move-not-written', 'reserve-lent'],
    },
  ],
  [
    {
      counted: { cashMinor: 70, walletMinor: 77, inTransitMinor: { wallet: 5 } },
      cashBook: [...EVEN.cashBook, wallet(80)],
    },
    {
      code: 'statement-more-than-book',
      amountMinor: 2,
      values: { column: 'wallet', expectedMinor: 75, statedMinor: 77 },
      lookAt: ['in-transit', 'private-number-used'],
    },
  ],
  [
    { counted: { cashMinor: 70, bankMinor: 77 }, cashBookOpeningMinor: { bank: 80 } },
    {
      code: 'statement-less-than-book',
      amountMinor: -3,
      values: { column: 'bank', expectedMinor: 80, statedMinor: 77 },
      lookAt: ['in-transit', 'private-number-used'],
    },
  ],
]

describe('what differs in a period', () => {
  it('is nothing where two books and two slips agree', () => {
    expect(reconcile(EVEN)).toMatchObject({ differences: [], cannotSay: [], closes: true, freeM3: 0, chargedM3: 59 })
  })

  it.each(DIFFERENCES)('is told alone, with its figures and where to look: %#', (change, wanted) => {
    const { differences, closes } = reconcile({ ...EVEN, ...change })
    expect(differences).toHaveLength(1)
    expect(differences[0]).toMatchObject(wanted)
    expect(closes).toBe(false)
  })

  it('is a gap in the numbers only in the period of the receipt that shows it', () => {
    const later = {
      receipts: [],
      cashBook: [],
      otherNumbers: [...EVEN.receipts, taken(10, 1)],
      counted: { cashMinor: 0 },
    }
    expect(reconcile({ ...EVEN, ...later }).differences).toEqual([])
    const here = reconcile({ ...EVEN, ...MORE_RECEIPTS, otherNumbers: [taken(6, 1)], counted: { cashMinor: 75 } })
    expect(here.differences).toEqual([])
  })

  it('cannot be said of a column that was used, even to nothing, or only opened', () => {
    const through = [wallet(5), { ...wallet(0), id: 'w2', outMinor: 5, voucherNumber: 3 }]
    const used = reconcile({ ...EVEN, cashBook: [...EVEN.cashBook, ...through] })
    expect(used).toMatchObject({ differences: [], cannotSay: ['no-wallet-statement'], closes: false })
    expect(reconcile({ ...EVEN, cashBookOpeningMinor: { bank: 3 } }).cannotSay).toEqual(['no-bank-statement'])
  })

  it('cannot be said of a count that one person stands for or that was declined, whatever it found; it is told once', () => {
    const one = (unnamed: object, rest = {}) => reconcile({ ...EVEN, counted: { cashMinor: 70, ...rest, unnamed } })
    expect(one({ cash: 'waits' })).toMatchObject({ differences: [], cannotSay: ['cash-count-waits'], closes: false })
    expect(one({ reserve: 'waits' }, { reserveMinor: 0 }).cannotSay).toEqual(['reserve-count-waits'])
    expect(one({ cash: 'declined' }, { cashMinor: null })).toMatchObject({ cannotSay: ['cash-count-declined'] })
    const short = one({ cash: 'waits' }, { cashMinor: 69 })
    expect([short.differences.length, short.cannotSay]).toEqual([1, ['cash-count-waits']])
    expect(one({ cash: null, reserve: null }).closes).toBe(true)
  })

  it('calls free only water for which nothing is due', () => {
    const slips = [
      { ...EVEN.slips[0]!, dueMinor: 0, postedMinor: 0 },
      { ...EVEN.slips[1]!, postedMinor: null },
    ]
    expect(reconcile({ ...EVEN, slips })).toMatchObject({ freeM3: 40, chargedM3: 0, deliveredM3: 59 })
  })
})

describe('indicators of money', () => {
  it('are ratios of collected to billed and to costs, and the cost of each cubic metre', () => {
    expect(moneyIndicators({ billedMinor: 800, collectedMinor: 600, costsMinor: 500, deliveredM3: 40 })).toEqual({
      collectionRatio: 0.75,
      costRecoveryRatio: 1.2,
      arrearsMinor: 200,
      costPerM3Minor: 12.5,
    })
  })

  it('are not said where there is nothing to divide by', () => {
    const none = moneyIndicators({ billedMinor: 0, collectedMinor: 600, costsMinor: 0, deliveredM3: 0 })
    expect(none).toMatchObject({ collectionRatio: null, costRecoveryRatio: null, costPerM3Minor: null })
  })
})

it('pairs lines of a statement up to the last of the days, and not a day later', () => {
  const statement = [{ id: 's', on: '2026-06-06', amountMinor: 5 }]
  const book = (on: string) => [{ id: 'b', on, amountMinor: 5 }]
  expect(matchStatement({ statement, book: book('2026-06-01') }).pairs).toEqual([
    { statementId: 's', bookId: 'b', daysApart: 5 },
  ])
  expect(matchStatement({ statement, book: book('2026-05-31') }).pairs).toEqual([])
})
