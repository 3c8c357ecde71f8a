import { date, seldom, select, text, whole } from '../../web/forms/fields.ts'
import { defineForm } from '../../web/forms/forms.ts'
import { money } from '../../web/forms/money-field.ts'
import { HELD_COLUMNS, MONEY_COLUMNS } from '../ledger/account-store.ts'
import { WAYS } from './reserve-store.ts'
import { COST_CATEGORIES } from './store.ts'

export function voucherForm(currency: string) {
  return defineForm('vouchers', {
    payee: text({ max: 80 }),
    purpose: text({ max: 200 }),
    category: select(COST_CATEGORIES),
    amount: money(currency, { least: 1 }),
    invoice: seldom(text({ max: 60 })),
    column: select(HELD_COLUMNS),
    stipendPersonId: seldom(select()),
    stipendFromOn: seldom(date()),
    stipendToOn: seldom(date()),
    stipendDays: seldom(whole({ min: 1, max: 366 })),
  })
}

export const PayoutForm = defineForm('vouchers.payout', { onDate: date() })

export function floatForm(currency: string) {
  return defineForm('vouchers.float', { fromOn: date(), limit: money(currency) })
}

export function reserveMoveForm(currency: string) {
  return defineForm('vouchers.reserve-move', {
    way: select(WAYS),
    column: select(MONEY_COLUMNS),
    amount: money(currency, { least: 1 }),
    words: text({ max: 120 }),
  })
}

export function moveForm(currency: string) {
  return defineForm('other-money.move', {
    from: select(MONEY_COLUMNS),
    to: select(MONEY_COLUMNS),
    amount: money(currency, { least: 1 }),
    onDate: date(),
    words: text({ max: 120 }),
  })
}
