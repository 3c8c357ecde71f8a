import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { feeProposal } from '../../../domain/fees/proposal.ts'
import { receiptGaps, repeatedReceipts } from '../../../domain/fees/receipt.ts'
import { reconcile } from '../../../domain/fees/reconcile/reconcile.ts'
import type { ReconcileInput } from '../../../domain/fees/reconcile/types.ts'
import { InputError } from '../../../domain/input-error.ts'

const receipt = (number: number, amountMinor: number) => ({ bookId: 'A', number, amountMinor, column: 'cash' as const })
const entered = (number: number, inMinor: number) => ({
  id: `c${number}`,
  column: 'cash' as const,
  inMinor,
  outMinor: 0,
  receipt: { bookId: 'A', number },
})

const CLOSED: ReconcileInput = {
  water: { pumpedM3: 100, unexplainedM3: 3, toleranceM3: 6 },
  slips: [
    { abstractionId: 's1', volumeM3: 40, uncertaintyM3: 2, dueMinor: 400, postedMinor: 400 },
    { abstractionId: 's2', volumeM3: 50, uncertaintyM3: 2.5, dueMinor: 500, postedMinor: 500 },
    { abstractionId: 'stand', volumeM3: 7, uncertaintyM3: 0.7, dueMinor: 0, postedMinor: null },
  ],
  arrears: {
    openingMinor: 1000,
    chargesMinor: 900,
    finesMinor: 20,
    receiptsMinor: 700,
    reliefMinor: 120,
    closingMinor: 1100,
  },
  receipts: [receipt(307, 300), receipt(308, 400)],
  receiptBooks: [{ bookId: 'A', firstNumber: 307 }],
  cashBookOpeningMinor: { cash: 50 },
  cashBook: [
    entered(307, 300),
    entered(308, 400),
    { id: 'v', column: 'cash', inMinor: 0, outMinor: 200, voucherNumber: 9 },
  ],
  counted: { cashMinor: 550 },
}
const named = (change: Partial<ReconcileInput>) =>
  reconcile({ ...CLOSED, ...change }).differences.map(({ code, amountMinor }) => [code, amountMinor])

describe('a period', () => {
  it('in which everything agrees closes', () => {
    expect(reconcile(CLOSED)).toEqual({
      differences: [],
      cannotSay: [],
      closes: true,
      deliveredM3: 97,
      deliveredUncertaintyM3: 5.2,
      chargedM3: 90,
      freeM3: 7,
    })
  })

  it('names days that were paid and are not in the log, and a reserve that differs, each by its own name', () => {
    const days = { voucherId: 'v9', number: 9, paidDays: 12, loggedDays: 10, anyDays: 12 }
    const even = { voucherId: 'v10', number: 10, paidDays: 4, loggedDays: 4, anyDays: 6 }
    const { differences } = reconcile({ ...CLOSED, stipends: [days, even] })
    expect(differences).toMatchObject([{ code: 'paid-days-not-logged-days', amountMinor: null, values: days }])
    const putBy = [
      { id: 'm', column: 'cash' as const, inMinor: 0, outMinor: 90, internal: true },
      { id: 'm', column: 'reserve' as const, inMinor: 90, outMinor: 0, internal: true },
    ]
    const withReserve = { cashBook: [...CLOSED.cashBook, ...putBy], counted: { cashMinor: 460, reserveMinor: 80 } }
    expect(named(withReserve)).toEqual([['reserve-less-than-book', -10]])
    expect(named({ ...withReserve, counted: { cashMinor: 460, reserveMinor: 95 } })).toEqual([
      ['reserve-more-than-book', 5],
    ])
    const uncounted = reconcile({ ...CLOSED, ...withReserve, counted: { cashMinor: 460 } })
    expect([uncounted.cannotSay, uncounted.closes]).toEqual([['reserve-not-counted'], false])
  })

  it('names a count that is 180 short, a missing number and a charge by an older tariff, each once', () => {
    const { differences } = reconcile({
      ...CLOSED,
      slips: CLOSED.slips.map((slip) => (slip.abstractionId === 's2' ? { ...slip, postedMinor: 450 } : slip)),
      receipts: [receipt(307, 300), receipt(309, 400)],
      cashBook: [entered(307, 300), entered(309, 400), CLOSED.cashBook[2]!],
      counted: { cashMinor: 370 },
    })
    expect(differences.map(({ code, amountMinor, values }) => ({ code, amountMinor, values }))).toEqual([
      {
        code: 'charge-not-by-tariff',
        amountMinor: 50,
        values: { abstractionId: 's2', dueMinor: 500, postedMinor: 450 },
      },
      { code: 'receipt-number-missing', amountMinor: null, values: { bookId: 'A', fromNumber: 308, toNumber: 308 } },
      { code: 'counted-less-than-book', amountMinor: -180, values: { bookMinor: 550, countedMinor: 370 } },
    ])
    for (const { lookAt } of differences) expect(lookAt.length).toBeGreaterThan(0)
  })

  it('names each other thing that may differ', () => {
    expect(named({ water: { pumpedM3: 100, unexplainedM3: 7, toleranceM3: 6 } })).toEqual([['water-unexplained', null]])
    expect(named({ water: { pumpedM3: 100, unexplainedM3: -7, toleranceM3: 6 } })).toEqual([
      ['more-water-recorded-than-pumped', null],
    ])
    expect(named({ slips: [{ ...CLOSED.slips[0]!, postedMinor: null }] })).toEqual([['delivery-without-charge', 400]])
    expect(named({ arrears: { ...CLOSED.arrears, closingMinor: 1220 } })).toEqual([['arrears-do-not-close', 120]])
    expect(named({ counted: { cashMinor: 551 } })).toEqual([['counted-more-than-book', 1]])
    const [first, second, out] = CLOSED.cashBook as [never, never, never]
    expect(named({ cashBook: [first, out], counted: { cashMinor: 150 } })).toEqual([['receipt-not-in-cash-book', 400]])
    expect(named({ cashBook: [first, entered(308, 390), out], counted: { cashMinor: 540 } })).toEqual([
      ['cash-book-amount-not-receipt', 10],
    ])
    expect(named({ cashBook: [first, second, out, entered(310, 5)], counted: { cashMinor: 555 } })).toEqual([
      ['cash-book-line-without-receipt', 5],
    ])
    const noVoucher = { id: 'x', column: 'cash' as const, inMinor: 0, outMinor: 10 }
    expect(named({ cashBook: [first, second, out, noVoucher], counted: { cashMinor: 540 } })).toEqual([
      ['payment-without-voucher', -10],
    ])
    expect(named({ receipts: [...CLOSED.receipts, receipt(308, 400)] })).toEqual([['receipt-number-twice', null]])
  })

  it('names a payment that stands on another account, has another amount, or is not in the ledger', () => {
    const posted = (forAccountId: string, post: { accountId: string; amountMinor: number } | null, voided = false) =>
      named({
        receipts: [
          { ...receipt(307, 300), forAccountId, posted: post },
          { ...receipt(308, 400) },
          { ...receipt(309, 9), voided, posted: voided ? null : undefined, column: 'labour' },
        ],
      })
    expect(posted('m1', { accountId: 'm1', amountMinor: 300 })).toEqual([])
    expect(posted('m1', { accountId: 'm1', amountMinor: 300 }, true)).toEqual([])
    expect(posted('m1', { accountId: 'm2', amountMinor: 300 })).toEqual([['receipt-on-another-account', 300]])
    expect(posted('m1', { accountId: 'm1', amountMinor: 30 })).toEqual([['transfer-amount-not-receipt', 270]])
    expect(posted('m1', null)).toEqual([['receipt-without-transfer', 300]])
  })

  it('that could not be checked is not said to agree', () => {
    const unchecked = reconcile({ ...CLOSED, water: null, counted: { cashMinor: null } })
    expect(unchecked).toMatchObject({
      differences: [],
      cannotSay: ['no-pump-reading', 'cash-not-counted'],
      closes: false,
    })
    const wallet = { id: 'w', column: 'wallet' as const, inMinor: 80, outMinor: 0 }
    expect(reconcile({ ...CLOSED, cashBook: [...CLOSED.cashBook, wallet] }).cannotSay).toEqual(['no-wallet-statement'])
  })

  it('with a wallet allows for what is on its way and no more', () => {
    const wallet = { id: 'w', column: 'wallet' as const, inMinor: 80, outMinor: 0 }
    const cashBook = [...CLOSED.cashBook, wallet]
    const counted = { cashMinor: 550, walletMinor: 77, inTransitMinor: { wallet: 3 } }
    expect(named({ cashBook, counted })).toEqual([])
    expect(named({ cashBook, counted: { ...counted, inTransitMinor: {} } })).toEqual([['statement-less-than-book', -3]])
    expect(named({ cashBook, counted: { ...counted, walletMinor: 90 } })).toEqual([['statement-more-than-book', 13]])
  })

  it('with a voided receipt keeps its number and wants no money for it', () => {
    const voided = { ...receipt(309, 60), voided: true }
    expect(named({ receipts: [...CLOSED.receipts, voided] })).toEqual([])
    const back = [entered(309, 60), { ...entered(309, 0), id: 'back', outMinor: 60 }]
    expect(named({ receipts: [...CLOSED.receipts, voided], cashBook: [...CLOSED.cashBook, ...back] })).toEqual([])
  })

  it('with labour days taken in payment looks for no coins', () => {
    const labour = { bookId: 'A', number: 309, amountMinor: 60, column: 'labour' as const }
    expect(named({ receipts: [...CLOSED.receipts, labour] })).toEqual([])
  })
})

describe('receipt numbers', () => {
  it('are missing exactly where they were taken out, book by book', () => {
    const removed = fc.uniqueArray(fc.integer({ min: 1, max: 39 }), { maxLength: 15 })
    fc.assert(
      fc.property(removed, removed, (fromA, fromB) => {
        const kept = (bookId: string, gone: number[]) =>
          Array.from({ length: 40 }, (_, at) => at + 1)
            .filter((number) => !gone.includes(number))
            .map((number) => ({ bookId, number }))
        const books = ['A', 'B'].map((bookId) => ({ bookId, firstNumber: 1 }))
        const gaps = receiptGaps({ receipts: [...kept('A', fromA), ...kept('B', fromB)], books })
        const missing = (bookId: string) =>
          gaps
            .filter((gap) => gap.bookId === bookId)
            .flatMap(({ fromNumber, toNumber }) =>
              Array.from({ length: toNumber - fromNumber + 1 }, (_, at) => fromNumber + at),
            )
        expect(missing('A')).toEqual(fromA.toSorted((a, b) => a - b))
        expect(missing('B')).toEqual(fromB.toSorted((a, b) => a - b))
      }),
    )
  })

  it('that stand twice in one book are named, in two books they are not', () => {
    const receipts = [
      { bookId: 'A', number: 1 },
      { bookId: 'A', number: 1 },
      { bookId: 'B', number: 1 },
    ]
    expect(repeatedReceipts({ receipts })).toEqual([{ bookId: 'A', number: 1, times: 2 }])
  })
})

describe('a fee proposal', () => {
  const input = {
    yearlyCostsMinor: { stipend: 60_000, spares: 10_000, repairs: 8000, committee: 2000 },
    replacements: [
      { priceMinor: 300_000, lifeYears: 10 },
      { priceMinor: 100_000, lifeYears: 15 },
    ],
    paidVolumeM3: { cautious: 4000, middle: 8000 },
    plots: 40,
    examples: [
      { name: 'small', yearlyM3: 50 },
      { name: 'middle', yearlyM3: 150 },
      { name: 'large', yearlyM3: 400 },
    ],
  }

  it('covers costs and replacement, dearer at the cautious volume', () => {
    const proposal = feeProposal(input)
    // By hand: 80 000 + 30 000 + 6 666.67 = 116 667 a year; / 4 000 = 29.17; / 8 000 = 14.58; / 40 plots = 2 916.7.
    expect(proposal).toMatchObject({ replacementMinor: 36_667, yearlyCostMinor: 116_667 })
    expect(proposal.cautious).toMatchObject({ pricePerM3Minor: 30, flatPerPlotMinor: 2917 })
    expect(proposal.middle).toMatchObject({ pricePerM3Minor: 15, flatPerPlotMinor: 2917 })
    expect(proposal.cautious.mixed).toEqual({ flatPerPlotMinor: 1459, pricePerM3Minor: 15 })
    expect(proposal.cautious.examples[0]).toEqual({
      name: 'small',
      byVolumeMinor: 1500,
      flatMinor: 2917,
      mixedMinor: 2209,
    })
  })

  it('refuses to divide by a volume of nothing', () => {
    expect(() => feeProposal({ ...input, paidVolumeM3: { cautious: 0, middle: 5 } })).toThrow(InputError)
  })

  it('never raises less than the costs', () => {
    const cost = fc.integer({ min: 0, max: 10_000_000 })
    fc.assert(
      fc.property(cost, fc.integer({ min: 1, max: 50_000 }), fc.integer({ min: 1, max: 200 }), (stipend, m3, plots) => {
        const volumes = { cautious: m3, middle: m3 }
        const { cautious } = feeProposal({
          ...input,
          replacements: [],
          yearlyCostsMinor: { stipend },
          paidVolumeM3: volumes,
          plots,
        })
        expect(cautious.pricePerM3Minor * m3).toBeGreaterThanOrEqual(stipend)
        expect(cautious.flatPerPlotMinor * plots).toBeGreaterThanOrEqual(stipend)
        const mixed = cautious.mixed.flatPerPlotMinor * plots + cautious.mixed.pricePerM3Minor * m3
        expect(mixed).toBeGreaterThanOrEqual(stipend)
      }),
    )
  })
})
