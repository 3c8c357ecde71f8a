import { describe, expect, it } from 'vitest'
import { cashBook } from '../../../server/fees/cash/book.ts'
import type { Account } from '../../../server/fees/ledger/account-store.ts'
import type { WrittenTransfer } from '../../../server/fees/ledger/transfer-store.ts'

const CODES = ['cash', 'wallet', 'bank', 'reserve', 'member']
const accounts = CODES.map((code) => ({ id: code, code, personId: null })) as unknown as Account[]
const moved = (on: string, from: string, to: string, amountMinor: number) =>
  ({ id: `${on} ${from} ${to}`, on, creditAccountId: from, debitAccountId: to, amountMinor }) as WrittenTransfer

/** Counted by hand: 100 before March; in March 40 and 7 in, 25 to the bank, 5 out; 60 after it. */
const transfers = [
  moved('2026-02-28', 'member', 'cash', 100),
  moved('2026-03-01', 'member', 'cash', 40),
  moved('2026-03-10', 'cash', 'bank', 25),
  moved('2026-03-20', 'member', 'wallet', 7),
  moved('2026-03-31', 'cash', 'member', 5),
  moved('2026-04-01', 'member', 'cash', 60),
]

describe('a cash book of one month', () => {
  const march = cashBook({ transfers, accounts, from: '2026-03-01', to: '2026-03-31' })

  it('opens with what was held before its first day and closes with what its own lines leave', () => {
    expect(march.openingMinor).toEqual({ cash: 100, wallet: 0, bank: 0, reserve: 0 })
    expect(march.closingMinor).toEqual({ cash: 110, wallet: 7, bank: 25, reserve: 0 })
  })

  it('holds the lines of both its end days and of no day beyond them, and what is moved between columns in both', () => {
    expect(
      march.lines.map(({ transfer, column, inMinor, outMinor }) => [transfer.on, column, inMinor, outMinor]),
    ).toEqual([
      ['2026-03-01', 'cash', 40, 0],
      ['2026-03-10', 'cash', 0, 25],
      ['2026-03-10', 'bank', 25, 0],
      ['2026-03-20', 'wallet', 7, 0],
      ['2026-03-31', 'cash', 0, 5],
    ])
  })

  it('tells after each line what every column holds', () => {
    expect(
      march.lines.map(({ balancesMinor }) => [balancesMinor.cash, balancesMinor.wallet, balancesMinor.bank]),
    ).toEqual([
      [140, 0, 0],
      [115, 0, 0],
      [115, 0, 25],
      [115, 7, 25],
      [110, 7, 25],
    ])
  })
})
