import { expect, it } from 'vitest'
import { receiptGaps } from '../../../domain/fees/receipt.ts'
import { waitsToBePosted } from '../../../domain/fees/reconcile/difference.ts'
import { reconcile } from '../../../domain/fees/reconcile/reconcile.ts'
import type { ReconcileInput } from '../../../domain/fees/reconcile/types.ts'

/** One receipt and what was put by for the pump, all counted. */
const EVEN: ReconcileInput = {
  water: { pumpedM3: 60, unexplainedM3: 0, toleranceM3: 0 },
  slips: [],
  arrears: { openingMinor: 0, chargesMinor: 0, finesMinor: 0, receiptsMinor: 0, reliefMinor: 0, closingMinor: 0 },
  receipts: [{ bookId: 'A', number: 7, amountMinor: 30, column: 'cash' }],
  cashBook: [{ id: 'a', column: 'cash', inMinor: 30, outMinor: 0, receipt: { bookId: 'A', number: 7 } }],
  cashBookOpeningMinor: { reserve: 90, wallet: 20, bank: 11 },
  counted: { cashMinor: 30, reserveMinor: 90, walletMinor: 20, bankMinor: 11 },
}
const codes = (change: Partial<ReconcileInput>) => reconcile({ ...EVEN, ...change }).differences.map(({ code }) => code)

it('what agrees to the last unit is no difference, whichever box it is in', () => {
  expect(codes({})).toEqual([])
  const off = (more: Partial<ReconcileInput['counted']>) => codes({ counted: { ...EVEN.counted, ...more } })
  expect(off({ reserveMinor: 91 })).toEqual(['reserve-more-than-book'])
  expect(off({ reserveMinor: 89 })).toEqual(['reserve-less-than-book'])
  expect(off({ walletMinor: 21 })).toEqual(['statement-more-than-book'])
  expect(off({ bankMinor: 10 })).toEqual(['statement-less-than-book'])
})

it('a receipt that is made out to no account stands on no other one', () => {
  const posted = { accountId: 'm1', amountMinor: 30 }
  const made = (forAccountId?: string) =>
    codes({ receipts: [{ ...EVEN.receipts[0]!, posted, ...(forAccountId ? { forAccountId } : {}) }] })
  expect([made(), made('m1'), made('m2')]).toEqual([[], [], ['receipt-on-another-account']])
})

it('a period with as many things that differ as cannot be said does not close', () => {
  expect(reconcile(EVEN).closes).toBe(true)
  const { differences, cannotSay, closes } = reconcile({
    ...EVEN,
    water: null,
    counted: { ...EVEN.counted, cashMinor: 29 },
  })
  expect([differences.length, cannotSay.length, closes]).toEqual([1, 1, false])
})

it('only what was worked out and not yet posted waits, and nothing that contradicts', () => {
  const waiting = [
    'delivery-without-charge',
    'unused-turn-not-charged',
    'used-turn-not-given-back',
    'struck-out-delivery-not-given-back',
    'delivery-charged-to-another',
    'fixed-fee-not-charged',
  ] as const
  const others = [
    'charge-not-by-tariff',
    'arrears-do-not-close',
    'receipt-number-missing',
    'water-unexplained',
  ] as const
  expect(waiting.map((code) => waitsToBePosted({ code }))).toEqual(waiting.map(() => true))
  expect(others.map((code) => waitsToBePosted({ code }))).toEqual(others.map(() => false))
})

it('a book of which nobody wrote the first number begins with the least of its own', () => {
  const receipts = [9, 4, 6, 5].map((number) => ({ bookId: 'A', number }))
  expect(receiptGaps({ receipts })).toEqual([{ bookId: 'A', fromNumber: 7, toNumber: 8 }])
  expect(receiptGaps({ receipts, books: [{ bookId: 'A', firstNumber: 3 }] })).toHaveLength(2)
})
