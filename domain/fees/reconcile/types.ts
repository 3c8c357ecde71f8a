import type { Id } from '../../id.ts'
import type { M3 } from '../../units.ts'
import type { HeldColumn, Receipt, ReceiptBook } from '../receipt.ts'
import type { UnnamedCount, WaitingCode } from './difference.ts'

/** Delivered water beside the charge posted for it. */
export interface PostedSlip {
  abstractionId: Id<'abstraction'>
  volumeM3: M3
  /** Plus or minus, from the tools that measured it. */
  uncertaintyM3: M3
  /** By the tariff of the day; 0 for free water. */
  dueMinor: number
  /** All transfers posted for this abstraction, follow-up lines included; null when there are none. */
  postedMinor: number | null
}

/** A charge or a line that gives back, worked out and not yet posted, which no delivery without a charge tells of. */
export interface WaitingCharge {
  code: WaitingCode
  amountMinor: number
}

export interface ArrearsMovement {
  openingMinor: number
  chargesMinor: number
  finesMinor: number
  receiptsMinor: number
  reliefMinor: number
  closingMinor: number
}

export interface CashBookLine {
  id: string
  column: HeldColumn
  inMinor: number
  outMinor: number
  receipt?: { bookId: string; number: number } | null
  voucherNumber?: number | null
  /** Moved between the group's own columns, an opening line, an explained count, or a bank's own fee: no voucher belongs to it. */
  internal?: boolean
}

interface CountedMoney {
  /** Coins and notes, counted by two people; null when nobody counted. */
  cashMinor: number | null
  /** The reserve for the pump, counted apart from the cash box. */
  reserveMinor?: number | null
  /** Counts and statements that are not the word of two people. */
  unnamed?: { [column in HeldColumn]?: UnnamedCount | null }
  /** Closing balances by the statements, and charges or deposits still on their way; null without a statement. */
  walletMinor?: number | null
  bankMinor?: number | null
  inTransitMinor?: { wallet?: number; bank?: number }
}

/** Days of a stipend beside the days of its span on which the log has entries. */
export interface PaidDays {
  voucherId: Id<'voucher'>
  number: number
  paidDays: number
  /** Written by the person who is paid. */
  loggedDays: number
  /** Written by anybody. */
  anyDays: number
}

export interface ReconcileInput {
  /** Pumped against delivered comes from the pump balance, which owns the water side. */
  water: { pumpedM3: M3; unexplainedM3: M3; toleranceM3: M3 } | null
  slips: readonly PostedSlip[]
  waiting?: readonly WaitingCharge[]
  arrears: ArrearsMovement
  receipts: readonly Receipt[]
  receiptBooks?: readonly ReceiptBook[]
  /** Receipt numbers of other periods, so that a number is not missed here because it stands there. */
  otherNumbers?: readonly Pick<Receipt, 'bookId' | 'number'>[]
  cashBookOpeningMinor?: Partial<Record<HeldColumn, number>>
  cashBook: readonly CashBookLine[]
  counted: CountedMoney
  stipends?: readonly PaidDays[]
}
