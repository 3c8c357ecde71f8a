import { date, number, optional, text } from '../../web/forms/fields.ts'
import { defineForm } from '../../web/forms/forms.ts'

export const CoverTermForm = defineForm('outlook.term', {
  weeklyPlan: optional(number({ min: 0, max: 100_000 }, 'water of a week, m3')),
  leakShare: number({ min: 0, max: 100 }),
  rechargePerMm: optional(number({ min: 0, max: 10_000 })),
  words: optional(text({ max: 300 })),
  fromOn: date(),
})
