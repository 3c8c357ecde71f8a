export interface FeesTables {
  account: { entryId: string; code: string; personId: string | null }
  tariff: { entryId: string; fromOn: string }
  tariffPart: {
    entryId: string
    payerClass: string | null
    kind: string
    upToM3: number | null
    every: string | null
    priceMinor: number
  }
  transfer: {
    entryId: string
    debitAccountId: string
    creditAccountId: string
    amountMinor: number
    kind: string
    onDate: string
    /** The draw as it was written when it was charged; a corrected draw has another id. */
    abstractionId: string | null
    settlesId: string | null
    receiptBook: string | null
    receiptNumber: number | null
    /** Where the paper of a voided receipt is. */
    original: string | null
    words: string | null
  }
  chargeLine: {
    entryId: string
    tariffId: string
    kind: string
    quantity: number
    unit: string
    amountMinor: number
    estimated: number
  }
  /** Hangs on the transfer that charges a turn left without word, or gives such a charge back. */
  missedTurn: { entryId: string; turnId: string }
  receiptBook: { entryId: string; name: string; firstNumber: number; lastNumber: number }
  /** What stands on the paper of a receipt, where somebody compared it with the book. */
  receiptPaper: { entryId: string; transferId: string; personId: string; amountMinor: number }
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
  cashCount: { entryId: string; countedOn: string; countedMinor: number; secondId: string }
  findingNote: { entryId: string; finding: string; words: string }
  moneyStatement: { entryId: string; moneyColumn: string; toOn: string; closingMinor: number }
  moneyStatementLine: { entryId: string; onDate: string; amountMinor: number; words: string; place: number }
  /** Why a transfer was made: a voucher, a relief, a fine, a count. */
  transferCause: { entryId: string; causeId: string }
  voucher: {
    entryId: string
    number: number
    payee: string
    purpose: string
    category: string
    amountMinor: number
    invoice: string | null
    moneyColumn: string
    stipendPersonId: string | null
    stipendFromOn: string | null
    stipendToOn: string | null
    stipendDays: number | null
  }
  floatLimit: { entryId: string; fromOn: string; limitMinor: number }
  payerClass: { entryId: string; personId: string; class: string | null; fromOn: string }
  fixedFee: { entryId: string; accountId: string; kind: string; every: string; dueOn: string }
  kindRate: {
    entryId: string
    fromOn: string
    kind: string
    name: string
    priceMinor: number
    minute: string
  }
  kindPayment: { entryId: string; rateId: string; quantity: number }
  relief: {
    entryId: string
    personId: string
    amountMinor: number
    minute: string
    words: string
    askedId: string
  }
  promise: {
    entryId: string
    personId: string
    amountMinor: number
    every: string
    firstOn: string
    times: number
    words: string | null
  }
  fine: {
    entryId: string
    personId: string
    amountMinor: number
    rule: string
    fact: string
    heardOn: string
    hearing: string
    lapseOn: string
  }
  periodClosing: { entryId: string; fromOn: string; toOn: string; figures: string }
}
