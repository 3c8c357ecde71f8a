import type { CalendarDate } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
import type { Pen } from '../../book/entries.ts'
import { groupAccount } from '../ledger/account-store.ts'
import { addTransfer } from '../ledger/transfer-store.ts'

export const SIDES = ['held-or-to-pay', 'ahead-or-less'] as const

interface NewOpening {
  accountId: Id<'account'>
  /** Money held or owed when the book began, or money paid ahead; the other side also mends a wrong opening line. */
  side: (typeof SIDES)[number]
  amountMinor: number
  onDate: CalendarDate
  words?: string | null
}

/** What an account stood at before this book: money held, what a member still had to pay, or what was paid ahead. */
export async function recordOpening(
  pen: Pen,
  { accountId, side, amountMinor, onDate, words = null }: NewOpening,
): Promise<string> {
  const opening = await groupAccount(pen.trx, 'opening')
  const [debitAccountId, creditAccountId] =
    side === 'held-or-to-pay' ? [accountId, opening] : ([opening, accountId] as const)
  return addTransfer(pen, { kind: 'opening', debitAccountId, creditAccountId, amountMinor, onDate, words })
}
