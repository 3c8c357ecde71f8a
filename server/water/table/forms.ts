import { date, lines, text } from '../../web/forms/fields.ts'
import { defineForm } from '../../web/forms/forms.ts'

export const TableForm = defineForm('storage.tableForm', {
  fromOn: date(),
  rows: lines({ max: 20_000 }),
  words: text({ max: 300 }),
})
