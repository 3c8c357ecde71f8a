import { optional, select, time } from '../../web/forms/fields.ts'
import { defineForm } from '../../web/forms/forms.ts'
import { DAY_CHANGES } from './store.ts'

export const DayChangeForm = defineForm('day.change', {
  pumpId: select(),
  kind: select(DAY_CHANGES),
  since: optional(time()),
  until: optional(time()),
})
