import { DATE_ORDERS } from '../../web/figures/csv.ts'
import { date, file, lines, optional, select } from '../../web/forms/fields.ts'
import { defineForm } from '../../web/forms/forms.ts'
import { money } from '../../web/forms/money-field.ts'

export function moneyStatementForm(currency: string) {
  return defineForm('money-statement.statement', statementFields(currency))
}

/** The same with which column of the list is which, for one whose headings are not ours. */
export function columnsForm(currency: string) {
  const named = {
    dateColumn: optional(select()),
    inColumn: optional(select()),
    outColumn: optional(select()),
    wordsColumn: optional(select()),
  }
  return defineForm('money-statement.statement', { ...statementFields(currency), ...named })
}

function statementFields(currency: string) {
  return {
    column: select(['wallet', 'bank']),
    toOn: date(),
    closing: money(currency),
    order: select(DATE_ORDERS),
    lines: optional(lines()),
    file: optional(file()),
  }
}
