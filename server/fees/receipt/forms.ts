import { date, optional, select, text, whole } from '../../web/forms/fields.ts'
import { defineForm } from '../../web/forms/forms.ts'
import { money } from '../../web/forms/money-field.ts'
import { MONEY_COLUMNS } from '../ledger/account-store.ts'
import { ORIGINALS } from './store.ts'

export const VoidForm = defineForm('fees.void', { original: select(ORIGINALS), reason: text({ max: 200 }) })

export const ReceiptBookForm = defineForm('receipt.book', {
  name: text({ max: 40 }),
  firstNumber: whole({ min: 1, max: 9_999_999 }),
  lastNumber: whole({ min: 1, max: 9_999_999 }),
})

export function paperReceiptForm(currency: string) {
  return defineForm('receipt.paper-receipt', {
    number: whole({ min: 1, max: 9_999_999 }),
    paidOn: date(),
    payerId: select(),
    amount: money(currency, { least: 1 }),
    column: select(MONEY_COLUMNS),
    words: optional(text({ max: 120 })),
  })
}

export function paperCheckForm(currency: string) {
  return defineForm('receipt.paper', { personId: select(), amount: money(currency, { least: 1 }) })
}

export const MisplacedForm = defineForm('receipt.misplaced', { personId: select(), reason: text({ max: 200 }) })
