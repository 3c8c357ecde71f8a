import { performance } from 'node:perf_hooks'
import type { Receipt } from '../../domain/fees/receipt.ts'
import { reconcile } from '../../domain/fees/reconcile/reconcile.ts'
import type { CashBookLine, PostedSlip, ReconcileInput } from '../../domain/fees/reconcile/types.ts'

const MEMBERS = 200
const SLIPS_A_MEMBER = 52
const PAYMENTS_A_MEMBER = 12
const MOST_MS = 200

/** A year's book of 200 members reconciles in under 200 ms. */
export async function run(): Promise<string[]> {
  const book = yearBook()
  reconcile(book)
  const start = performance.now()
  const result = reconcile(book)
  const ms = performance.now() - start
  if (!result.closes) throw new Error('the year does not close')
  return [
    `fees: ${MEMBERS} members, ${book.slips.length} slips, ${book.receipts.length} receipts reconcile in ${ms.toFixed(1)} ms` +
      ` (limit ${MOST_MS} ms${ms < MOST_MS ? '' : ', NOT MET'})`,
  ]
}

function yearBook(): ReconcileInput {
  const slips = Array.from({ length: MEMBERS * SLIPS_A_MEMBER }, (_, at): PostedSlip => {
    const volumeM3 = 1 + (at % 7)
    return {
      abstractionId: `a${at}`,
      volumeM3,
      uncertaintyM3: 0.1,
      dueMinor: volumeM3 * 60,
      postedMinor: volumeM3 * 60,
    }
  })
  const receipts = Array.from({ length: MEMBERS * PAYMENTS_A_MEMBER }, (_, at): Receipt => {
    const amountMinor = 100 + (at % 50)
    const accountId = `m${at % MEMBERS}`
    return {
      ...{ bookId: 'screen', number: at + 1, amountMinor, column: 'cash', forAccountId: accountId },
      posted: { accountId, amountMinor },
    }
  })
  const cashBook = receipts.map(
    ({ bookId, number, amountMinor }): CashBookLine => ({
      ...{ id: `c${number}`, column: 'cash', inMinor: amountMinor, outMinor: 0 },
      receipt: { bookId, number },
    }),
  )
  const [chargesMinor, receiptsMinor] = [
    sum(slips.map((slip) => slip.dueMinor)),
    sum(receipts.map((one) => one.amountMinor)),
  ]
  const moved = { openingMinor: 0, chargesMinor, finesMinor: 0, receiptsMinor, reliefMinor: 0 }
  return {
    water: { pumpedM3: 40_000, unexplainedM3: 3, toleranceM3: 900 },
    slips,
    arrears: { ...moved, closingMinor: chargesMinor - receiptsMinor },
    receipts,
    receiptBooks: [{ bookId: 'screen', firstNumber: 1 }],
    cashBook,
    counted: { cashMinor: receiptsMinor },
  }
}

function sum(amounts: readonly number[]): number {
  return amounts.reduce((total, amount) => total + amount, 0)
}
