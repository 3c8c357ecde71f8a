import { date, select, text } from '../../web/forms/fields.ts'
import { defineForm } from '../../web/forms/forms.ts'
import { money } from '../../web/forms/money-field.ts'
import { MONEY_COLUMNS } from '../ledger/account-store.ts'
import { INCOME_SOURCES } from './store.ts'

export function heldFeeForm(currency: string) {
  return defineForm('other-money.held-fee', {
    column: select(['wallet', 'bank']),
    amount: money(currency, { least: 1 }),
    onDate: date(),
    words: text({ max: 120 }),
  })
}

export function incomeForm(currency: string) {
  return defineForm('other-money.income', {
    source: select(INCOME_SOURCES),
    fromWhom: text({ max: 80 }),
    amount: money(currency, { least: 1 }),
    column: select(MONEY_COLUMNS),
    onDate: date(),
    words: text({ max: 120 }),
  })
}
