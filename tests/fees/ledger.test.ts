import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { arrearsAgeing, settleOldestFirst } from '../../domain/fees/arrears/settle.ts'
import { balanceOf, statement, type Transfer, trialBalance } from '../../domain/fees/ledger.ts'

const charged = (id: string, on: string, amountMinor: number, rest: Partial<Transfer> = {}): Transfer => ({
  id,
  kind: 'charge',
  debitAccountId: 'amara',
  creditAccountId: 'fees',
  amountMinor,
  on,
  ...rest,
})
const paid = (id: string, on: string, amountMinor: number, rest: Partial<Transfer> = {}): Transfer => ({
  id,
  kind: 'receipt',
  debitAccountId: 'cash',
  creditAccountId: 'amara',
  amountMinor,
  on,
  ...rest,
})
const open = (transfers: Transfer[]) => {
  const { charges, creditMinor } = settleOldestFirst({ transfers, accountId: 'amara' })
  return { open: charges.map((line) => [line.transferId, line.openMinor]), creditMinor }
}

/** Books with charges, payments, voids, corrections and relief among a few accounts, in any order of days. */
const ACCOUNTS = ['amara', 'bela', 'cash', 'wallet', 'fees', 'relief']
const anyBook = fc
  .array(
    fc.record({
      pair: fc.shuffledSubarray(ACCOUNTS, { minLength: 2, maxLength: 2 }),
      amountMinor: fc.integer({ min: 1, max: 1_000_000 }),
      day: fc.integer({ min: 1, max: 28 }),
      corrects: fc.option(fc.nat({ max: 40 })),
      settles: fc.option(fc.nat({ max: 40 })),
    }),
    { maxLength: 40 },
  )
  .map((rows) =>
    rows.map(({ pair, amountMinor, day, corrects, settles }, at): Transfer => {
      const [debitAccountId, creditAccountId] = pair as [string, string]
      const ids = {
        correctsId: corrects === null ? null : String(corrects),
        settlesId: settles === null ? null : String(settles),
      }
      const on = `2031-07-${String(day).padStart(2, '0')}`
      return { id: String(at), kind: 'move', debitAccountId, creditAccountId, amountMinor, on, ...ids }
    }),
  )

describe('any book', () => {
  it('balances to nothing', () => {
    fc.assert(
      fc.property(anyBook, (transfers) => {
        const { accounts, totalMinor } = trialBalance({ transfers })
        expect(totalMinor).toBe(0)
        for (const { accountId, balanceMinor } of accounts) {
          expect(balanceMinor).toBe(balanceOf({ transfers, accountId }))
        }
      }),
    )
  })

  it('has statements whose lines sum to the balance, wherever they are cut', () => {
    fc.assert(
      fc.property(
        anyBook,
        fc.constantFrom(...ACCOUNTS),
        fc.integer({ min: 2, max: 28 }),
        (transfers, accountId, day) => {
          const whole = statement({ transfers, accountId })
          const from = `2031-07-${String(day).padStart(2, '0')}`
          const dayBefore = `2031-07-${String(day - 1).padStart(2, '0')}`
          const later = statement({ transfers, accountId, from })
          const earlier = statement({ transfers, accountId, to: dayBefore })
          const sum = whole.lines.reduce((all, line) => all + line.debitMinor - line.creditMinor, 0)
          expect(sum).toBe(balanceOf({ transfers, accountId }))
          expect(whole.closingMinor).toBe(sum)
          expect(earlier.closingMinor).toBe(later.openingMinor)
          expect(later.closingMinor).toBe(sum)
          expect([...earlier.lines, ...later.lines]).toEqual(whole.lines)
        },
      ),
    )
  })

  it('leaves open charges less credit equal to what is owed, and the ageing sums to the open charges', () => {
    fc.assert(
      fc.property(anyBook, fc.constantFrom(...ACCOUNTS), (transfers, accountId) => {
        const { charges, creditMinor } = settleOldestFirst({ transfers, accountId })
        const openMinor = charges.reduce((all, line) => all + line.openMinor, 0)
        expect(openMinor - creditMinor).toBe(balanceOf({ transfers, accountId }))
        expect(creditMinor === 0 || openMinor === 0).toBe(true)
        for (const line of charges) {
          expect(line.openMinor).toBeGreaterThanOrEqual(0)
          expect(line.paidMinor + line.openMinor).toBe(line.amountMinor)
        }
        expect(arrearsAgeing({ charges, asOf: '2031-12-31' }).totalMinor).toBe(openMinor)
      }),
    )
  })

  it('refuses a transfer of nothing, of a fraction, or from an account to itself', () => {
    for (const wrong of [{ amountMinor: 0 }, { amountMinor: 1.5 }, { creditAccountId: 'amara' }]) {
      expect(() => trialBalance({ transfers: [charged('a', '2031-07-01', 5, wrong)] })).toThrow(RangeError)
    }
  })
})

describe('a payment', () => {
  const debts = [charged('new', '2031-07-08', 120), charged('old', '2031-06-01', 100)]

  it('in part goes to the oldest charge, and what is over is kept as credit', () => {
    expect(open([...debts, paid('p', '2031-07-09', 150)])).toEqual({
      open: [
        ['old', 0],
        ['new', 70],
      ],
      creditMinor: 0,
    })
    expect(open([...debts, paid('p', '2031-07-09', 250)]).creditMinor).toBe(30)
  })

  it('that was meant for one charge goes there', () => {
    expect(open([...debts, paid('p', '2031-07-09', 50, { settlesId: 'new' })]).open).toEqual([
      ['old', 100],
      ['new', 70],
    ])
  })

  it('that is voided leaves the balance and the charges as they were before it', () => {
    const payment = paid('p', '2031-07-09', 150)
    const voided: Transfer = {
      ...payment,
      id: 'v',
      kind: 'correction',
      debitAccountId: payment.creditAccountId,
      creditAccountId: payment.debitAccountId,
      on: '2031-07-10',
      correctsId: 'p',
    }
    expect(open([...debts, payment, voided])).toEqual(open(debts))
    const transfers = [...debts, payment, voided]
    for (const accountId of ['amara', 'cash']) {
      expect(balanceOf({ transfers, accountId })).toBe(balanceOf({ transfers: debts, accountId }))
    }
    expect(balanceOf({ transfers, accountId: 'amara', asOf: '2031-07-09' })).toBe(70)
  })

  it('is not taken for a correction of a charge, which lowers that very charge', () => {
    const correction = charged('c', '2031-07-09', 30, {
      kind: 'correction',
      debitAccountId: 'fees',
      creditAccountId: 'amara',
      correctsId: 'new',
    })
    expect(open([...debts, correction]).open).toEqual([
      ['old', 100],
      ['new', 90],
    ])
  })
})

describe('arrears', () => {
  it('are counted by age at the steps of 30, 90 and 365 days', () => {
    const transfers = [
      charged('a', '2031-07-31', 1),
      charged('b', '2031-07-01', 10), // 30 days
      charged('c', '2031-06-30', 100), // 31 days
      charged('d', '2031-05-02', 1000), // 90 days
      charged('e', '2030-07-30', 10_000), // 366 days
    ]
    const { charges } = settleOldestFirst({ transfers, accountId: 'amara' })
    const { bands, totalMinor } = arrearsAgeing({ charges, asOf: '2031-07-31' })
    expect(bands.map((band) => [band.overDays, band.toDays, band.amountMinor])).toEqual([
      [0, 30, 11],
      [30, 90, 1100],
      [90, 365, 0],
      [365, null, 10_000],
    ])
    expect(totalMinor).toBe(11_111)
  })
})
