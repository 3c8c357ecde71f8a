import { date, select } from '../../web/forms/fields.ts'
import { defineForm } from '../../web/forms/forms.ts'

export const PayerClassForm = defineForm('tariffs.payer-class', {
  personId: select(),
  payerClass: select(['everyone', 'tenant', 'school']),
  fromOn: date(),
})
