import { date, number, optional, select, text } from '../web/fields.ts'
import { defineForm } from '../web/forms.ts'

export const RequestForm = defineForm('rotation.request', {
  plotId: select(),
  weekStartOn: select(),
  volume: optional(number({ min: 0.02, max: 10_000 })),
})

export const NoTurnDayForm = defineForm('rotation.no-turn-day', {
  onDate: date(),
  pumpId: optional(select()),
  words: text({ max: 60 }),
})
