import { date, number, optional, select, text } from '../../web/forms/fields.ts'
import { defineForm } from '../../web/forms/forms.ts'

export const HolderGroupForm = defineForm('fairness.holder-group', {
  personId: select(),
  names: optional(text({ max: 120 })),
  fromOn: date(),
})

export const LineForm = defineForm('line', {
  pumpId: select(),
  hours: number({ min: 0.5, max: 1000 }),
  draining: number({ min: 0, max: 600 }),
  by: select(['area', 'shares']),
})
