import { DATE_ORDERS } from '../web/figures/csv.ts'
import { date, file, lines, optional, select, text, whole } from '../web/forms/fields.ts'
import { defineForm } from '../web/forms/forms.ts'
import { money } from '../web/forms/money-field.ts'
import { COUNTED } from './cash/count-store.ts'
import { MONEY_COLUMNS } from './ledger/account-store.ts'

export function countForm(currency: string) {
  return defineForm('money.count', {
    column: select(COUNTED),
    countedOn: date(),
    counted: money(currency),
    secondId: select(),
  })
}

/** Words under an open matter: a count, a difference, a payment that is moved. */
export const WordsForm = defineForm('money.explain', { words: text({ max: 300 }) })

export const ReceiptBookForm = defineForm('money.book', {
  name: text({ max: 40 }),
  firstNumber: whole({ min: 1, max: 9_999_999 }),
  lastNumber: whole({ min: 1, max: 9_999_999 }),
})

export function paperReceiptForm(currency: string) {
  return defineForm('money.paper-receipt', {
    number: whole({ min: 1, max: 9_999_999 }),
    paidOn: date(),
    payerId: select(),
    amount: money(currency, { least: 1 }),
    column: select(MONEY_COLUMNS),
    words: optional(text({ max: 120 })),
  })
}

export function paperCheckForm(currency: string) {
  return defineForm('money.paper', { personId: select(), amount: money(currency, { least: 1 }) })
}

export const MisplacedForm = defineForm('money.misplaced', { personId: select(), reason: text({ max: 200 }) })

export function moneyStatementForm(currency: string) {
  return defineForm('money.statement', {
    column: select(['wallet', 'bank']),
    toOn: date(),
    closing: money(currency),
    order: select(DATE_ORDERS),
    lines: optional(lines()),
    file: optional(file()),
  })
}

export const PayerClassForm = defineForm('money.payer-class', {
  personId: select(),
  payerClass: select(['everyone', 'tenant', 'school']),
  fromOn: date(),
})

export const PERIODS = ['week', 'month', 'season'] as const
export type PeriodName = (typeof PERIODS)[number]
