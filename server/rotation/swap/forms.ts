import { askedFields } from '../../book/asked/fields.ts'
import { optional, select } from '../../web/forms/fields.ts'
import { defineForm } from '../../web/forms/forms.ts'
import { PAYERS } from './store.ts'

export const SwapForm = defineForm('day.swap', {
  otherTurnId: optional(select()),
  toPlotId: optional(select()),
  payer: select(PAYERS),
  ...askedFields,
})
