import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { arrearsMovement } from '../../../domain/fees/arrears/movement.ts'
import { balanceOf, statement, type Transfer, trialBalance } from '../../../domain/fees/ledger.ts'
import { differenceKey } from '../../../domain/fees/reconcile/difference.ts'
import { matchStatement } from '../../../domain/fees/reconcile/match-statement.ts'
import { reconcile } from '../../../domain/fees/reconcile/reconcile.ts'

const MEMBERS = ['m1', 'm2', 'm3']
const day = fc.integer({ min: 0, max: 89 }).map((at) => new Date(Date.UTC(2026, 0, 1 + at)).toISOString().slice(0, 10))
const amount = fc.integer({ min: 1, max: 1_000_000 })
const member = fc.constantFrom(...MEMBERS)

/** Any book of charges, fines, payments, relief and openings, some of them taken back later. */
const book = fc
  .array(
    fc.record({
      kind: fc.constantFrom('opening', 'charge', 'fine', 'receipt', 'relief', 'payout', 'move'),
      ...{ member, amount, on: day, backOn: fc.option(day, { nil: null }) },
    }),
    { maxLength: 60 },
  )
  .map((lines) =>
    lines.flatMap(({ kind, member: who, amount: amountMinor, on, backOn }, at): Transfer[] => {
      const [debitAccountId, creditAccountId] = (
        {
          opening: [who, 'opening'],
          charge: [who, 'fee-income'],
          fine: [who, 'fee-income'],
          receipt: ['cash', who],
          relief: ['relief', who],
          payout: ['costs', 'cash'],
          move: ['bank', 'cash'],
        } as Record<string, [string, string]>
      )[kind]!
      const first = { id: `t${at}`, kind: kind as Transfer['kind'], debitAccountId, creditAccountId, amountMinor, on }
      if (backOn === null || backOn < on) return [first]
      const back = { ...first, id: `b${at}`, kind: 'correction' as const, on: backOn, correctsId: first.id }
      return [first, { ...back, debitAccountId: creditAccountId, creditAccountId: debitAccountId }]
    }),
  )

describe('any book', () => {
  it('balances to nothing, and each statement is the sum of its transfers', () => {
    fc.assert(
      fc.property(book, day, day, (transfers, one, other) => {
        expect(trialBalance({ transfers }).totalMinor).toBe(0)
        const [from, to] = [one, other].toSorted() as [string, string]
        for (const accountId of [...MEMBERS, 'cash', 'fee-income']) {
          const { openingMinor, lines, closingMinor } = statement({ transfers, accountId, from, to })
          const moved = lines.reduce((sum, line) => sum + line.debitMinor - line.creditMinor, 0)
          expect(openingMinor + moved).toBe(closingMinor)
          expect(closingMinor).toBe(balanceOf({ transfers, accountId, asOf: to }))
        }
      }),
    )
  })

  it('closes its arrears over any span, by sums that are worked out another way', () => {
    fc.assert(
      fc.property(book, day, day, (transfers, one, other) => {
        const [from, to] = [one, other].toSorted() as [string, string]
        const moved = arrearsMovement({ transfers, memberAccountIds: new Set(MEMBERS), from, to })
        const { openingMinor, chargesMinor, finesMinor, receiptsMinor, reliefMinor, closingMinor } = moved
        const owed = MEMBERS.map((accountId) => balanceOf({ transfers, accountId, asOf: to }) as number)
        expect(closingMinor).toBe(owed.reduce((sum, balance) => sum + balance, 0))
        expect(openingMinor + chargesMinor + finesMinor - receiptsMinor - reliefMinor).toBe(closingMinor)
        // Receipts are what the cash box took from members in the span, less what it gave back.
        const paid = transfers.filter(({ on }) => on >= from && on <= to)
        const took = (side: 'creditAccountId' | 'debitAccountId', cash: 'creditAccountId' | 'debitAccountId') =>
          paid
            .filter((one) => MEMBERS.includes(one[side]) && one[cash] === 'cash')
            .reduce((sum, { amountMinor }) => sum + amountMinor, 0)
        expect(receiptsMinor).toBe(
          took('creditAccountId', 'debitAccountId') - took('debitAccountId', 'creditAccountId'),
        )
      }),
    )
  })

  it('has a balance restored by a payment taken back', () => {
    fc.assert(
      fc.property(book, member, amount, (transfers, accountId, amountMinor) => {
        const on = '2026-04-01'
        const before = balanceOf({ transfers, accountId })
        const paid: Transfer = {
          id: 'p',
          kind: 'receipt',
          debitAccountId: 'cash',
          creditAccountId: accountId,
          amountMinor,
          on,
        }
        const back: Transfer = {
          ...{ id: 'v', kind: 'correction', debitAccountId: accountId, creditAccountId: 'cash', amountMinor, on },
          correctsId: 'p',
        }
        expect(balanceOf({ transfers: [...transfers, paid, back], accountId })).toBe(before)
      }),
    )
  })
})

describe('a bank statement', () => {
  const line = fc.record({ on: day, amountMinor: fc.integer({ min: -5, max: 5 }).filter((minor) => minor !== 0) })
  const named = (name: string) =>
    fc.array(line, { maxLength: 25 }).map((rows) => rows.map((row, at) => ({ ...row, id: `${name}${at}` })))

  it('pairs each line at most once, only with the same amount a few days apart, and forgets none', () => {
    fc.assert(
      fc.property(named('s'), named('b'), (stated, kept) => {
        const match = matchStatement({ statement: stated, book: kept })
        for (const { statementId, bookId, daysApart } of match.pairs) {
          expect(kept.find(({ id }) => id === bookId)!.amountMinor).toBe(
            stated.find(({ id }) => id === statementId)!.amountMinor,
          )
          expect(daysApart).toBeLessThanOrEqual(5)
        }
        const here = [...match.pairs.map(({ bookId }) => bookId), ...match.onlyInBook]
        expect(here.toSorted()).toEqual(kept.map(({ id }) => id).toSorted())
        const there = [...match.pairs.map(({ statementId }) => statementId), ...match.onlyOnStatement]
        expect(there.toSorted()).toEqual(stated.map(({ id }) => id).toSorted())
      }),
    )
  })

  it('takes the nearest day where two would do', () => {
    const kept = [
      { id: 'far', on: '2026-01-01', amountMinor: 5 },
      { id: 'near', on: '2026-01-04', amountMinor: 5 },
    ]
    const match = matchStatement({ statement: [{ id: 's', on: '2026-01-05', amountMinor: 5 }], book: kept })
    expect(match).toMatchObject({ pairs: [{ bookId: 'near', daysApart: 1 }], onlyInBook: ['far'] })
  })
})

describe('a difference', () => {
  const books = (cashMinor: number, gap: boolean) =>
    reconcile({
      water: { pumpedM3: 0, unexplainedM3: 0, toleranceM3: 0 },
      slips: [],
      arrears: { openingMinor: 0, chargesMinor: 0, finesMinor: 0, receiptsMinor: 0, reliefMinor: 0, closingMinor: 0 },
      receipts: [{ bookId: 'A', number: 310, amountMinor: 1, column: 'labour' }],
      otherNumbers: [{ bookId: 'A', number: gap ? 308 : 309 }],
      cashBook: [{ id: 'c', column: 'cash', inMinor: 500, outMinor: 0 }],
      counted: { cashMinor },
    }).differences

  it('has another key once its figures have changed, so that words for 180 do not cover 200', () => {
    const [short] = books(320, false)
    expect(differenceKey(short!)).toBe('counted-less-than-book -180')
    expect(differenceKey(books(300, false)[0]!)).not.toBe(differenceKey(short!))
  })

  it('of numbers is told in the period of the receipt after the gap, and only where nobody wrote the number elsewhere', () => {
    expect(books(500, true).map(differenceKey)).toEqual(['receipt-number-missing bookId=A fromNumber=309 toNumber=309'])
    expect(books(500, false)).toEqual([])
  })
})
