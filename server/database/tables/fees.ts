import type { CalendarDate } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
import type { M3 } from '../../../domain/units.ts'
export interface FeesTables {
  /** What a tenant left unpaid and the owner of the plot answers for. */
  arrearsMove: { entryId: string; tenantId: Id<'person'>; ownerId: Id<'person'>; amountMinor: number; words: string }
  account: { entryId: string; code: string; personId: Id<'person'> | null }
  tariff: { entryId: Id<'tariff'>; fromOn: CalendarDate }
  tariffPart: {
    entryId: string
    payerClass: string | null
    kind: string
    upToM3: M3 | null
    every: string | null
    priceMinor: number
    /** Of the price of a turn, for one left without word; the price is then nought. */
    part: number | null
  }
  transfer: {
    entryId: string
    debitAccountId: Id<'account'>
    creditAccountId: Id<'account'>
    amountMinor: number
    kind: string
    onDate: string
    /** The draw as it was written when it was charged; a corrected draw has another id. */
    abstractionId: Id<'abstraction'> | null
    settlesId: string | null
    receiptBook: string | null
    receiptNumber: number | null
    /** Where the paper of a voided receipt is. */
    original: string | null
    words: string | null
  }
  chargeLine: {
    entryId: string
    tariffId: Id<'tariff'>
    kind: string
    quantity: number
    unit: string
    amountMinor: number
    estimated: number
  }
  /** Hangs on the transfer that charges a turn left without word, or gives such a charge back. */
  missedTurn: { entryId: string; turnId: Id<'turn'> }
  /** Hangs on the transfer that brought it. */
  otherIncome: { entryId: string; source: string; fromWhom: string }
  missedHearing: {
    entryId: string
    turnId: Id<'turn'>
    heardOn: CalendarDate
    hearing: string
    appealUntil: CalendarDate
  }
  missedAppeal: { entryId: string; hearingId: string; words: string }
  receiptBook: { entryId: string; name: string; firstNumber: number; lastNumber: number }
  /** What stands on the paper of a receipt, where somebody compared it with the book. */
  receiptPaper: { entryId: string; transferId: Id<'transfer'>; personId: Id<'person'>; amountMinor: number }
  /** Hangs on a count of money that is not the cash box. */
  countedColumn: { entryId: string; moneyColumn: string }
  /** Asked for; the money moves with the second name. */
  reserveMove: {
    entryId: string
    fromColumn: string
    toColumn: string
    amountMinor: number
    words: string
  }
  /** The book's own figure is null in counts that are older than it. */
  cashCount: {
    entryId: string
    countedOn: CalendarDate
    countedMinor: number
    secondId: string
    bookMinor: number | null
  }
  countDecision: {
    entryId: string
    countId: string
    way: string
    minute: string | null
    words: string
    amountMinor: number
  }
  findingNote: { entryId: string; finding: string; words: string }
  moneyStatement: { entryId: string; moneyColumn: string; toOn: CalendarDate; closingMinor: number }
  moneyStatementLine: { entryId: string; onDate: string; amountMinor: number; words: string; place: number }
  /** Why a transfer was made: a voucher, a relief, a fine, a count. */
  transferCause: { entryId: string; causeId: string }
  voucher: {
    entryId: Id<'voucher'>
    number: number
    payee: string
    purpose: string
    category: string
    amountMinor: number
    invoice: string | null
    moneyColumn: string
    stipendPersonId: Id<'person'> | null
    stipendFromOn: CalendarDate | null
    stipendToOn: CalendarDate | null
    stipendDays: number | null
  }
  floatLimit: { entryId: string; fromOn: CalendarDate; limitMinor: number }
  payerClass: { entryId: string; personId: Id<'person'>; class: string | null; fromOn: CalendarDate }
  fixedFee: { entryId: string; accountId: Id<'account'>; kind: string; every: string; dueOn: CalendarDate }
  kindRate: {
    entryId: string
    fromOn: CalendarDate
    kind: string
    name: string
    priceMinor: number
    minute: string
  }
  kindPayment: { entryId: string; rateId: string; quantity: number }
  relief: {
    entryId: string
    personId: Id<'person'>
    amountMinor: number
    minute: string
    words: string
    askedId: string
  }
  promise: {
    entryId: string
    personId: Id<'person'>
    amountMinor: number
    every: string
    firstOn: CalendarDate
    times: number
    words: string | null
  }
  fine: {
    entryId: string
    personId: Id<'person'>
    amountMinor: number
    rule: string
    fact: string
    heardOn: CalendarDate
    hearing: string
    lapseOn: CalendarDate
  }
  /** Said against a fine, and which body decides about it. */
  fineAppeal: { entryId: string; fineId: string; decidedBy: string; words: string }
  /** Whether the fine stands, as that body decided. */
  fineDecision: { entryId: string; fineId: string; stands: 0 | 1; words: string }
  periodClosing: { entryId: string; fromOn: CalendarDate; toOn: CalendarDate; figures: string }
}
