import { COUNTED_IN } from '../../people/measure/volume-state.ts'
import { date, number, optional, text } from '../../web/forms/fields.ts'
import { defineForm } from '../../web/forms/forms.ts'

export const CoverTermForm = defineForm('outlook.term', {
  weeklyPlan: optional(number({ min: 0, max: 10_000_000 })),
  weeklyPlanIn: { ...COUNTED_IN, isSeldom: false },
  leakShare: number({ min: 0, max: 100 }),
  rechargePerMm: optional(number({ min: 0, max: 10_000 })),
  words: optional(text({ max: 300 })),
  fromOn: date(),
})
