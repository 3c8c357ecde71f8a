import { minuteField } from '../../people/decision/state.ts'
import { date, optional, select } from '../../web/forms/fields.ts'
import { defineForm } from '../../web/forms/forms.ts'

export const PayerClassForm = defineForm('tariffs.payer-class', {
  personId: select(),
  payerClass: select(['everyone', 'tenant', 'school']),
  fromOn: date(),
  minute: optional(minuteField()),
})
