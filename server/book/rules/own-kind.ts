import { inFile } from '../../database/names.ts'
import type { FactTables } from '../../database/schema.ts'
import { CLASH_RULES, WITH_ITS_ENTRY } from './clash-rules.ts'

type Table = keyof FactTables

/** The kinds of entries that write a table, where they are not called like it. */
const WRITTEN_BY: Partial<Record<Table, readonly string[]>> = {
  applicantEnd: ['applicant-taken-in', 'applicant-off'],
  arrearsMove: ['arrears-to-owner'],
  booking: ['turn-booking'],
  complaintHearing: ['complaint-heard'],
  countDecision: ['count-words', 'count-write-off'],
  credential: ['password', 'sign-in-given'],
  drawNote: ['abstraction'],
  fine: ['fine-heard'],
  fineAppeal: ['fine-appealed'],
  fineDecision: ['fine-decided'],
  fixedFee: ['charge'],
  holderGroup: ['holder-groups'],
  kindPayment: ['receipt'],
  missedAppeal: ['missed-turn-appeal'],
  missedHearing: ['missed-turn-heard'],
  missedTurn: ['charge', 'correction'],
  movedUpTurn: ['turn-amendment'],
  otherIncome: ['move'],
  outletFlowTest: ['flow-test'],
  personLanguage: ['language'],
  personMark: ['mark'],
  personRole: ['roles', 'office-given'],
  pictureRuling: ['pictures-struck'],
  plotHolder: ['holders'],
  pumpMeter: ['pump-meter', 'abstraction'],
  relief: ['relief-asked'],
  sharedDevice: ['device-registered'],
  sharedDeviceEnd: ['device-ended'],
  transfer: ['opening', 'charge', 'fine', 'receipt', 'relief', 'payout', 'cost', 'correction', 'move'],
  transferCause: ['fine', 'relief', 'payout', 'move', 'correction'],
  turn: ['published-week', 'turn-amendment', 'turn-booking'],
  turnChange: ['turn-change', 'turn-amendment', 'turn-booking'],
  turnOutcome: ['turn-outcome', 'late-excuse'],
  voiceClip: ['voice-recorded'],
  warning: ['word-given', 'warning-heard'],
  warningAppeal: ['warning-appealed'],
  warningRuling: ['warning-ruled'],
  waterUser: ['water-users'],
}

/**
 * Whether an entry of a kind may carry rows of some tables. What a kind says is believed everywhere: how many names an entry needs,
 * whether the last look tells it, what another device's book is said to bring. Parts of an entry hang on the row that they are part of.
 */
export function isOfItsKind(kind: string, tables: readonly string[]): boolean {
  return tables.every((table) => {
    const known = table as Table
    if (CLASH_RULES[known] === WITH_ITS_ENTRY) return true
    return (WRITTEN_BY[known] ?? [inFile(table).replaceAll('_', '-')]).includes(kind)
  })
}
