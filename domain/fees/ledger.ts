import { ascending } from 'd3-array'
import type { CalendarDate } from '../calendar.ts'
import type { Id } from '../id.ts'
import { type Minor, minor } from '../money/money.ts'
import { sum } from '../sum.ts'

export type TransferKind =
  | 'opening'
  | 'charge'
  | 'fine'
  | 'receipt'
  | 'relief'
  | 'payout'
  | 'cost'
  | 'correction'
  | 'move'

/**
 * One movement of money. The debit side receives the value: a charge debits the member and credits fee income, a payment
 * debits the cash box and credits the member. So a member's balance above zero is what the member owes.
 */
export interface Transfer {
  id: string
  kind: TransferKind
  debitAccountId: Id<'account'>
  creditAccountId: Id<'account'>
  amountMinor: number
  on: CalendarDate
  /** The transfer that this one takes back or amends. */
  correctsId?: string | null
  /** The charge that a payment is meant for, where the payer or the rule named one. */
  settlesId?: string | null
}

interface StatementLine {
  transferId: Id<'transfer'>
  on: CalendarDate
  kind: TransferKind
  debitMinor: Minor
  creditMinor: Minor
  balanceMinor: Minor
}

interface Statement {
  openingMinor: Minor
  lines: StatementLine[]
  closingMinor: Minor
}

/** Refuses what no ledger can hold: a part of a minor unit, nothing or less, or an account paying itself. */
export function checkTransfer(transfer: Transfer): Transfer {
  if (minor(transfer.amountMinor) <= 0) throw new RangeError(`transfer ${transfer.id} moves nothing`)
  if (transfer.debitAccountId === transfer.creditAccountId) throw new RangeError(`transfer ${transfer.id} stands still`)
  return transfer
}

/** What an account holds, or what a member owes, at the end of a day; of all days when none is named. */
export function balanceOf({
  transfers,
  accountId,
  asOf,
}: {
  transfers: readonly Transfer[]
  accountId: Id<'account'>
  asOf?: CalendarDate
}): Minor {
  let balance = 0
  for (const transfer of transfers) {
    if (asOf === undefined || transfer.on <= asOf) balance += signedMinor(transfer, accountId)
  }
  return minor(balance)
}

/** Every account's balance, by account id, and their sum, which is zero: nothing arises and nothing is lost. */
export function trialBalance({ transfers }: { transfers: readonly Transfer[] }) {
  const balances = new Map<string, Minor>()
  const add = (accountId: Id<'account'>, amountMinor: number) =>
    balances.set(accountId, minor((balances.get(accountId) ?? 0) + amountMinor))
  for (const transfer of transfers) {
    const { debitAccountId, creditAccountId, amountMinor } = checkTransfer(transfer)
    add(debitAccountId, amountMinor)
    add(creditAccountId, -amountMinor)
  }
  const accounts = [...balances].map(([accountId, balanceMinor]) => ({ accountId, balanceMinor }))
  const totalMinor = minor(sum(accounts, (account) => account.balanceMinor))
  return { accounts: accounts.toSorted((a, b) => ascending(a.accountId, b.accountId)), totalMinor }
}

/** One account's lines between two days, both included, in order of day and then of writing. */
export function statement({
  transfers,
  accountId,
  from,
  to,
}: {
  transfers: readonly Transfer[]
  accountId: Id<'account'>
  from?: CalendarDate
  to?: CalendarDate
}): Statement {
  const own = inOrder(transfers.filter((transfer) => touches(transfer, accountId)))
  let balance = 0
  const lines: StatementLine[] = []
  let openingMinor = minor(0)
  for (const transfer of own) {
    if (transfer.on > (to ?? transfer.on)) break
    balance += signedMinor(transfer, accountId)
    if (transfer.on < (from ?? transfer.on)) openingMinor = minor(balance)
    else lines.push(lineOf(transfer, accountId, balance))
  }
  return { openingMinor, lines, closingMinor: minor(balance) }
}

/** By day, and within a day as written. */
export function inOrder(transfers: readonly Transfer[]): Transfer[] {
  return transfers.toSorted((a, b) => ascending(a.on, b.on))
}

function lineOf(transfer: Transfer, accountId: Id<'account'>, balance: number): StatementLine {
  const debit = transfer.debitAccountId === accountId
  return {
    transferId: transfer.id,
    on: transfer.on,
    kind: transfer.kind,
    debitMinor: minor(debit ? transfer.amountMinor : 0),
    creditMinor: minor(debit ? 0 : transfer.amountMinor),
    balanceMinor: minor(balance),
  }
}

/** True when the transfer moves money into the account or out of it. */
export function touches(transfer: Transfer, accountId: Id<'account'>): boolean {
  return transfer.debitAccountId === accountId || transfer.creditAccountId === accountId
}

function signedMinor(transfer: Transfer, accountId: Id<'account'>): number {
  if (transfer.debitAccountId === accountId) return transfer.amountMinor
  return transfer.creditAccountId === accountId ? -transfer.amountMinor : 0
}
