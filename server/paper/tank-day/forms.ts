import { date, number, optional, select, text, whole } from '../../web/forms/fields.ts'
import { defineForm } from '../../web/forms/forms.ts'

const level = () => optional(number({ min: 0, max: 5000 }, 'level in a tank, cm'))
const jerrycans = () => optional(number({ min: 0, max: 1_000_000 }, 'jerrycans of a day'))

/** A day of a tank: what stood in it, what came in, to whom it was let out, and what people and animals drank. */
export const TankDayForm = defineForm('paper.tank-day', {
  onDate: date(),
  tankId: select(),
  morning: level(),
  evening: level(),
  filled: optional(number({ min: 0, max: 10_000_000 })),
  filledIn: optional(select()),
  plotId: optional(select()),
  letOut: optional(number({ min: 0, max: 10_000_000 })),
  letOutIn: optional(select()),
  stand: jerrycans(),
  trough: jerrycans(),
  animals: optional(whole({ min: 0, max: 1_000_000 }, 'heads that drink')),
  remark: optional(text({ max: 200 })),
})
