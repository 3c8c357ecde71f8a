import type { FactTables } from '../../server/database/schema.ts'

const ACCOUNTS = 'money: printed as the cash book, the statements, the season report and the closings of the money room'
const OF_ONE = 'what befell one person: told on the turn and to those whom it concerns, never in a print for all'
const DOORS = 'guards the doors: nobody carries it away'

/** Tables that the whole book does not print, each with its reason. */
export const NOT_PRINTED: Partial<Record<keyof FactTables, string>> = {
  credential: DOORS,
  sharedDevice: DOORS,
  account: ACCOUNTS,
  tariff: ACCOUNTS,
  tariffPart: ACCOUNTS,
  transfer: ACCOUNTS,
  chargeLine: ACCOUNTS,
  transferCause: ACCOUNTS,
  receiptBook: ACCOUNTS,
  receiptPaper: ACCOUNTS,
  cashCount: ACCOUNTS,
  countedColumn: ACCOUNTS,
  countDecision: ACCOUNTS,
  findingNote: ACCOUNTS,
  moneyStatement: ACCOUNTS,
  moneyStatementLine: ACCOUNTS,
  floatLimit: ACCOUNTS,
  payerClass: ACCOUNTS,
  fixedFee: ACCOUNTS,
  kindRate: ACCOUNTS,
  kindPayment: ACCOUNTS,
  relief: ACCOUNTS,
  promise: ACCOUNTS,
  fine: ACCOUNTS,
  fineAppeal: ACCOUNTS,
  fineDecision: ACCOUNTS,
  periodClosing: ACCOUNTS,
  reserveMove: ACCOUNTS,
  voucher: ACCOUNTS,
  otherIncome: ACCOUNTS,
  holderGroup: 'which kind of household a holder counts to: only its sums are printed, by the fairness page',
  turnOutcome: OF_ONE,
  turnExcuse: OF_ONE,
  missedTurn: OF_ONE,
  missedHearing: OF_ONE,
  missedAppeal: OF_ONE,
  requestUrgent: OF_ONE,
  requestTime: OF_ONE,
  livesTogether: OF_ONE,
}
