import { SHORT_DAY_ORDERS } from '../../../domain/rotation/day/reshare-input.ts'
import { date, number, optional, select, time } from '../../web/forms/fields.ts'
import { defineForm } from '../../web/forms/forms.ts'
import { DAY_CHANGES } from './store.ts'

export const DayChangeForm = defineForm('day.change', {
  pumpId: select(),
  kind: select(DAY_CHANGES),
  gave: optional(number({ min: 0.02, max: 10_000 })),
  since: optional(time()),
  until: optional(time()),
})

export const ShortDayRuleForm = defineForm('day.short-rule', { fromOn: date(), rule: select(SHORT_DAY_ORDERS) })
