import { DATE_ORDERS } from '../../web/figures/csv.ts'
import { date, file, lines, optional, select } from '../../web/forms/fields.ts'
import { defineForm } from '../../web/forms/forms.ts'
import { money } from '../../web/forms/money-field.ts'

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
